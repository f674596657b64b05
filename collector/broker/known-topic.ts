import { Allowance } from './allowance.ts';
import type { BrokerLimits } from './limits.ts';
import type { Topic } from './topics.ts';
import { readText, topicNameFault } from './wire-text.ts';

/** Topics remembered as bytes. Source: own choice, because a plant has some thousand stations at most. */
const MAX_KNOWN_TOPICS = 20_000;

/** Topics found without making a string of their bytes, by a hash of the last of these, which tell stations apart. Source: own choice: a string for each message would be made only to be looked up. */
const SLOTS = 8192;
const HASHED_BYTES = 8;

/** A topic that has been published to, and what its station may still send; null where the topic brings no readings. */
export interface KnownTopic {
  readonly topic: Topic;
  readonly allowance: Allowance | null;
}

/** Finds the topic whose name these bytes are; undefined when it cannot be published to. */
export type TopicLookup = (buffer: Buffer, from: number, to: number) => KnownTopic | undefined;

/** Topics by their bytes in a packet, so that each is checked and taken apart once. */
export function knownTopics(limits: BrokerLimits, topicOf: (name: string) => Topic): TopicLookup {
  const topics = new Map<string, KnownTopic>();
  const slots: (Slot | undefined)[] = new Array(SLOTS).fill(undefined);
  return (buffer, from, to) => {
    const slot = slotOf(buffer, from, to);
    const recent = slots[slot];
    if (recent !== undefined && isSame(recent.bytes, buffer, from, to)) return recent.known;
    const key = buffer.toString('latin1', from, to);
    const known = topics.get(key);
    if (known !== undefined) {
      // The first stays: two that share a slot would drive each other out with every message.
      if (recent === undefined) slots[slot] = { bytes: Buffer.from(buffer.subarray(from, to)), known };
      return known;
    }
    const name = readText(buffer, from - 2, to, 'the topic');
    if ('fault' in name || topicNameFault(name.text, limits) !== null) return undefined;
    if (topics.size >= MAX_KNOWN_TOPICS) {
      topics.clear();
      slots.fill(undefined);
    }
    const topic = topicOf(name.text);
    const limited = topic.kind === 'readings' || topic.kind === 'online' || topic.kind === 'mapped';
    const learnt = { topic, allowance: limited ? new Allowance(limits.maxMessagesPerSecond, 0) : null };
    topics.set(key, learnt);
    return learnt;
  };
}

interface Slot {
  readonly bytes: Buffer;
  readonly known: KnownTopic;
}

function slotOf(buffer: Buffer, from: number, to: number): number {
  let hash = to - from;
  for (let at = Math.max(from, to - HASHED_BYTES); at < to; at++) hash = Math.imul(hash, 31) + buffer[at]!;
  return (hash ^ (hash >>> 13)) & (SLOTS - 1);
}

function isSame(bytes: Buffer, buffer: Buffer, from: number, to: number): boolean {
  if (bytes.length !== to - from) return false;
  for (let index = 0; index < bytes.length; index++) if (bytes[index] !== buffer[from + index]) return false;
  return true;
}
