import type { Qos } from './connect-packet.ts';
import { readText, type TopicLimits, topicFilterFault, topicNameFault } from './wire-text.ts';

/** Control packet types, MQTT 3.1.1 table 2.1. */
export const PacketType = {
  CONNECT: 1,
  PUBLISH: 3,
  PUBACK: 4,
  PUBREC: 5,
  PUBREL: 6,
  PUBCOMP: 7,
  SUBSCRIBE: 8,
  UNSUBSCRIBE: 10,
  PINGREQ: 12,
  DISCONNECT: 14,
} as const;

/** Packets by which a client asks for something that brings no readings. */
export const ASKING: ReadonlySet<number> = new Set([PacketType.SUBSCRIBE, PacketType.UNSUBSCRIBE]);

/**
 * Why a packet that a connected client sent breaks MQTT 3.1.1 or our limits, or null when it is well formed. Whatever
 * it names closes the connection [MQTT-4.8.0-1]. CONNECT has its own reader.
 */
export function packetFault(
  buffer: Buffer,
  start: number,
  body: number,
  end: number,
  limits: TopicLimits,
): string | null {
  const first = buffer[start]!;
  const flags = first & 0x0f;
  switch (first >> 4) {
    case PacketType.PUBLISH:
      return publishFault(buffer, flags, body, end, limits);
    case PacketType.PUBACK:
    case PacketType.PUBREC:
    case PacketType.PUBCOMP:
      return flags === 0 ? answerFault(buffer, body, end) : 'the reserved flags are set';
    case PacketType.PUBREL:
      return flags === 2 ? answerFault(buffer, body, end) : 'the reserved flags of PUBREL are not 0010';
    case PacketType.SUBSCRIBE:
      return flags === 2 ? filtersFault(buffer, body, end, 1) : 'the reserved flags of SUBSCRIBE are not 0010';
    case PacketType.UNSUBSCRIBE:
      return flags === 2 ? filtersFault(buffer, body, end, 0) : 'the reserved flags of UNSUBSCRIBE are not 0010';
    case PacketType.PINGREQ:
    case PacketType.DISCONNECT:
      if (flags !== 0) return 'the reserved flags are set';
      return body === end ? null : 'a packet without content has some';
    default:
      return `packet type ${first >> 4} is not one that a connected client sends`;
  }
}

function publishFault(buffer: Buffer, flags: number, body: number, end: number, limits: TopicLimits): string | null {
  const qos = (flags >> 1) & 0x03;
  if (qos === 3) return 'PUBLISH with QoS 3';
  if (qos === 0 && (flags & 0x08) !== 0) return 'PUBLISH with QoS 0 and DUP';
  const topic = readText(buffer, body, end, 'the topic');
  if ('fault' in topic) return topic.fault;
  if (qos > 0) {
    if (topic.next + 2 > end) return 'the packet ends before the packet identifier';
    if (buffer.readUInt16BE(topic.next) === 0) return 'the packet identifier is 0';
  }
  return topicNameFault(topic.text, limits);
}

function answerFault(buffer: Buffer, body: number, end: number): string | null {
  if (end - body !== 2) return 'an acknowledgement is not two bytes long';
  return buffer.readUInt16BE(body) === 0 ? 'the packet identifier is 0' : null;
}

/** Packet identifier and topic filters of SUBSCRIBE (each followed by a QoS byte) and UNSUBSCRIBE. */
function filtersFault(buffer: Buffer, body: number, end: number, qosBytes: 0 | 1): string | null {
  if (body + 2 > end) return 'the packet ends before the packet identifier';
  if (buffer.readUInt16BE(body) === 0) return 'the packet identifier is 0';
  let at = body + 2;
  if (at === end) return 'no topic filter is given';
  while (at < end) {
    const filter = readText(buffer, at, end, 'the topic filter');
    if ('fault' in filter) return filter.fault;
    const fault = topicFilterFault(filter.text);
    if (fault !== null) return fault;
    at = filter.next + qosBytes;
    if (at > end) return 'the packet ends before the requested QoS';
    if (qosBytes === 1 && buffer[at - 1]! > 2) return 'the requested QoS is not 0, 1 or 2';
  }
  return null;
}

/** A topic filter of a SUBSCRIBE, with the QoS asked for. */
export interface AskedFilter {
  readonly filter: string;
  readonly qos: Qos;
}

/** The filters of a well-formed SUBSCRIBE (`qosBytes` 1) or UNSUBSCRIBE (0), in their order. */
export function readFilters(buffer: Buffer, body: number, end: number, qosBytes: 0 | 1): AskedFilter[] {
  const filters: AskedFilter[] = [];
  for (let at = body + 2; at < end; ) {
    const next = at + 2 + buffer.readUInt16BE(at);
    const qos = (qosBytes === 1 ? buffer[next]! : 0) as Qos;
    filters.push({ filter: buffer.toString('utf8', at + 2, next), qos });
    at = next + qosBytes;
  }
  return filters;
}
