import type { Qos } from './connect-packet.ts';
import type { KnownTopic, TopicLookup } from './known-topic.ts';

/** The head of one PUBLISH packet, MQTT 3.1.1 section 3.3; one object serves packet after packet. */
export class PublishHead {
  known: KnownTopic = { topic: { name: '', kind: 'foreign', site: '', station: '' }, allowance: null };
  qos: Qos = 0;
  retain = false;
  /** 0 with QoS 0. */
  packetId = 0;
  payloadStart = 0;

  /** Reads a whole packet's head; false when it is malformed, for `packetFault` to say how. */
  read(buffer: Buffer, start: number, body: number, end: number, lookup: TopicLookup): boolean {
    const flags = buffer[start]! & 0x0f;
    const qos = (flags >> 1) & 3;
    if (body + 2 > end || qos === 3 || (qos === 0 && (flags & 8) !== 0)) return false;
    const topicEnd = body + 2 + ((buffer[body]! << 8) | buffer[body + 1]!);
    const payloadStart = qos > 0 ? topicEnd + 2 : topicEnd;
    if (payloadStart > end) return false;
    const packetId = qos > 0 ? (buffer[topicEnd]! << 8) | buffer[topicEnd + 1]! : 0;
    if (qos > 0 && packetId === 0) return false;
    const known = lookup(buffer, body + 2, topicEnd);
    if (known === undefined) return false;
    this.known = known;
    this.qos = qos as Qos;
    this.retain = (flags & 1) !== 0;
    this.packetId = packetId;
    this.payloadStart = payloadStart;
    return true;
  }
}
