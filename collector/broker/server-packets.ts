import type { Qos } from './connect-packet.ts';
import type { Message } from './message.ts';
import type { PacketType } from './packet-check.ts';

// The control packets that a server sends, MQTT 3.1.1 chapter 3.

export const PINGRESP = Buffer.of(0xd0, 0);

/** @param returnCode table 3.1, 0 for accepted */
export function connack(sessionPresent: boolean, returnCode: number): Buffer {
  return Buffer.of(0x20, 2, sessionPresent ? 1 : 0, returnCode);
}

/** PUBACK, PUBREC, PUBREL or PUBCOMP; the reserved flags of PUBREL are 0010 [MQTT-3.6.1-1]. */
export function answer(
  type: (typeof PacketType)['PUBACK' | 'PUBREC' | 'PUBREL' | 'PUBCOMP'],
  packetId: number,
): Buffer {
  return Buffer.of((type << 4) | (type === 6 ? 2 : 0), 2, packetId >> 8, packetId & 255);
}

/** @param codes one for each filter, in their order [MQTT-3.8.4-5]: the QoS granted, or 128 */
export function suback(packetId: number, codes: readonly number[]): Buffer {
  return Buffer.concat([fixedHeader(0x90, 2 + codes.length), Buffer.of(packetId >> 8, packetId & 255, ...codes)]);
}

export function unsuback(packetId: number): Buffer {
  return Buffer.of(0xb0, 2, packetId >> 8, packetId & 255);
}

/** A PUBLISH as one subscriber gets it. */
export function publish(message: Message, qos: Qos, retain: boolean, dup: boolean, packetId: number): Buffer {
  const { topic, payload } = message;
  const topicBytes = Buffer.byteLength(topic);
  const length = 2 + topicBytes + (qos > 0 ? 2 : 0) + payload.length;
  const head = fixedHeader(0x30 | (dup ? 8 : 0) | (qos << 1) | (retain ? 1 : 0), length);
  const bytes = Buffer.allocUnsafe(head.length + length);
  let at = head.copy(bytes);
  at = bytes.writeUInt16BE(topicBytes, at);
  at += bytes.write(topic, at);
  if (qos > 0) at = bytes.writeUInt16BE(packetId, at);
  payload.copy(bytes, at);
  return bytes;
}

/** Packet type, flags and remaining length, MQTT 3.1.1 section 2.2. */
function fixedHeader(first: number, length: number): Buffer {
  const bytes = [first];
  let left = length;
  do {
    const digit = left % 128;
    left = Math.floor(left / 128);
    bytes.push(left > 0 ? digit | 0x80 : digit);
  } while (left > 0);
  return Buffer.from(bytes);
}
