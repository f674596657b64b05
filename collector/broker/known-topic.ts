import { Allowance } from './allowance.ts';
import type { BrokerLimits } from './limits.ts';
import type { Topic } from './topics.ts';
import { readText, topicNameFault } from './wire-text.ts';

/** Topics remembered as bytes. Source: own choice, because a plant has some thousand stations at most. */
const MAX_KNOWN_TOPICS = 20_000;

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
  return (buffer, from, to) => {
    const key = buffer.toString('latin1', from, to);
    const known = topics.get(key);
    if (known !== undefined) return known;
    const name = readText(buffer, from - 2, to, 'the topic');
    if ('fault' in name || topicNameFault(name.text, limits) !== null) return undefined;
    if (topics.size >= MAX_KNOWN_TOPICS) topics.clear();
    const topic = topicOf(name.text);
    const limited = topic.kind === 'readings' || topic.kind === 'online' || topic.kind === 'mapped';
    const learnt = { topic, allowance: limited ? new Allowance(limits.maxMessagesPerSecond, 0) : null };
    topics.set(key, learnt);
    return learnt;
  };
}
