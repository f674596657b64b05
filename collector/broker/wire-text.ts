import { isUtf8 } from 'node:buffer';

/** A length-prefixed UTF-8 string in a packet, MQTT 3.1.1 section 1.5.3, or why it cannot be taken. */
export type WireText = { readonly text: string; readonly next: number } | { readonly fault: string };

/**
 * Reads the UTF-8 string at `at`. Refused: ill-formed UTF-8, surrogates among them [MQTT-1.5.3-1], U+0000
 * [MQTT-1.5.3-2], and a string that runs past `end`.
 */
export function readText(buffer: Buffer, at: number, end: number, what: string): WireText {
  if (at + 2 > end) return { fault: `${what} is cut off` };
  const from = at + 2;
  const next = from + buffer.readUInt16BE(at);
  if (next > end) return { fault: `${what} is cut off` };
  const bytes = buffer.subarray(from, next);
  if (!isUtf8(bytes)) return { fault: `${what} is not well-formed UTF-8` };
  if (bytes.includes(0)) return { fault: `${what} holds U+0000` };
  return { text: bytes.toString('utf8'), next };
}

/** Why a topic name cannot be published to, or null: MQTT 3.1.1 sections 3.3.2.1 and 4.7, and our limits. */
export function topicNameFault(topic: string, limits: TopicLimits): string | null {
  if (topic === '') return 'the topic is empty';
  if (topic.includes('#') || topic.includes('+')) return 'the topic holds a wildcard';
  return sizeFault('topic', topic, limits);
}

/** Why a topic filter is none, or null: MQTT 3.1.1 section 4.7.1. */
export function topicFilterFault(filter: string): string | null {
  if (filter === '') return 'the topic filter is empty';
  const levels = filter.split('/');
  for (const [index, level] of levels.entries()) {
    if (level.includes('#') && (level !== '#' || index !== levels.length - 1))
      return 'the topic filter has "#" elsewhere than alone in its last level';
    if (level.includes('+') && level !== '+') return 'the topic filter has "+" beside other characters in a level';
  }
  return null;
}

/** Whether a well-formed topic filter is longer or deeper than is taken. */
export function topicFilterTooLarge(filter: string, limits: TopicLimits): boolean {
  return sizeFault('topic filter', filter, limits) !== null;
}

export interface TopicLimits {
  readonly maxTopicBytes: number;
  readonly maxTopicLevels: number;
}

function sizeFault(what: string, text: string, limits: TopicLimits): string | null {
  const bytes = Buffer.byteLength(text);
  if (bytes > limits.maxTopicBytes)
    return `the ${what} is ${bytes} bytes long, at most ${limits.maxTopicBytes} are taken`;
  let levels = 1;
  for (let at = text.indexOf('/'); at >= 0; at = text.indexOf('/', at + 1)) levels++;
  if (levels > limits.maxTopicLevels)
    return `the ${what} has ${levels} levels, at most ${limits.maxTopicLevels} are taken`;
  return null;
}
