import { readText, type TopicLimits, topicNameFault } from './wire-text.ts';

/** What we need to know of a CONNECT before anything else sees it. */
export interface ConnectPacket {
  readonly protocolLevel: number;
  readonly clientId: string;
  readonly cleanSession: boolean;
  /** Seconds, 0 for none. */
  readonly keepAliveS: number;
  readonly will: Will | null;
  readonly userName: string | null;
  /** A copy; never logged. */
  readonly password: Buffer | null;
}

/** The message that is published when a connection breaks, MQTT 3.1.1 section 3.1.2.5. */
export interface Will {
  readonly topic: string;
  readonly payload: Buffer;
  readonly qos: Qos;
  readonly retain: boolean;
}

export type Qos = 0 | 1 | 2;

/** A CONNECT to go on with, one to answer with a return code (MQTT 3.1.1 table 3.1), or one to hang up on. */
export type ConnectVerdict =
  | { readonly ok: true; readonly connect: ConnectPacket }
  | { readonly ok: false; readonly returnCode: number | null; readonly fault: string };

export interface ConnectLimits extends TopicLimits {
  readonly maxClientIdBytes: number;
}

const hangUp = (fault: string): ConnectVerdict => ({ ok: false, returnCode: null, fault });
const refuse = (returnCode: number, fault: string): ConnectVerdict => ({ ok: false, returnCode, fault });

/**
 * Reads a CONNECT packet and checks it as MQTT 3.1.1 section 3.1 demands: return code 1 for a protocol level other
 * than 3 and 4 [MQTT-3.1.2-2], 2 for an empty client id without clean session [MQTT-3.1.3-8] or one that is too long;
 * every other fault closes the connection without an answer.
 */
export function readConnect(
  buffer: Buffer,
  start: number,
  body: number,
  end: number,
  limits: ConnectLimits,
): ConnectVerdict {
  if ((buffer[start]! & 0x0f) !== 0) return hangUp('the reserved flags of CONNECT are set');
  const protocol = readText(buffer, body, end, 'the protocol name');
  if ('fault' in protocol) return hangUp(protocol.fault);
  if (protocol.text !== 'MQTT' && protocol.text !== 'MQIsdp') return hangUp('the protocol name is not MQTT');
  let at = protocol.next;
  if (at >= end) return hangUp('the packet ends before the protocol level');
  const protocolLevel = buffer[at++]!;
  if (protocolLevel !== (protocol.text === 'MQTT' ? 4 : 3))
    return refuse(1, `protocol level ${protocolLevel} is not served; MQTT 3.1.1 (level 4) is`);
  if (at + 3 > end) return hangUp('the packet ends before the keep-alive');
  const flags = buffer[at++]!;
  const faulty = flagsFault(flags);
  if (faulty !== null) return hangUp(faulty);
  const keepAliveS = buffer.readUInt16BE(at);
  at += 2;
  const id = readText(buffer, at, end, 'the client id');
  if ('fault' in id) return hangUp(id.fault);
  at = id.next;
  let will: Will | null = null;
  let userName: string | null = null;
  let password: Buffer | null = null;
  if ((flags & 0x04) !== 0) {
    const topic = readText(buffer, at, end, 'the will topic');
    if ('fault' in topic) return hangUp(topic.fault);
    const topicFault = topicNameFault(topic.text, limits);
    if (topicFault !== null) return hangUp(`will: ${topicFault}`);
    const next = skipBytes(buffer, topic.next, end);
    if (next === null) return hangUp('the will message is cut off');
    at = next;
    // Kept for as long as the connection: it must not hold on to the block of bytes that it came in.
    const payload = Buffer.from(buffer.subarray(topic.next + 2, next));
    will = { topic: topic.text, payload, qos: ((flags >> 3) & 3) as Qos, retain: (flags & 0x20) !== 0 };
  }
  if ((flags & 0x80) !== 0) {
    const user = readText(buffer, at, end, 'the user name');
    if ('fault' in user) return hangUp(user.fault);
    at = user.next;
    userName = user.text;
  }
  if ((flags & 0x40) !== 0) {
    const next = skipBytes(buffer, at, end);
    if (next === null) return hangUp('the password is cut off');
    password = Buffer.from(buffer.subarray(at + 2, next));
    at = next;
  }
  if (at !== end) return hangUp('the packet goes on after its last field');
  const cleanSession = (flags & 0x02) !== 0;
  const bytes = Buffer.byteLength(id.text);
  if (bytes === 0 && !cleanSession) return refuse(2, 'the client id is empty without clean session');
  if (bytes > limits.maxClientIdBytes)
    return refuse(2, `the client id is ${bytes} bytes long, at most ${limits.maxClientIdBytes} are taken`);
  return {
    ok: true,
    connect: { protocolLevel, clientId: id.text, cleanSession, keepAliveS, will, userName, password },
  };
}

/** The connect flags' own rules, MQTT 3.1.1 sections 3.1.2.3 to 3.1.2.9. */
function flagsFault(flags: number): string | null {
  if ((flags & 0x01) !== 0) return 'the reserved connect flag is set';
  const willQos = (flags >> 3) & 0x03;
  if (willQos === 3) return 'the will has QoS 3';
  if ((flags & 0x04) === 0 && (flags & 0x38) !== 0) return 'will QoS or will retain is set without a will';
  if ((flags & 0x80) === 0 && (flags & 0x40) !== 0) return 'a password is given without a user name';
  return null;
}

function skipBytes(buffer: Buffer, at: number, end: number): number | null {
  if (at + 2 > end) return null;
  const next = at + 2 + buffer.readUInt16BE(at);
  return next > end ? null : next;
}
