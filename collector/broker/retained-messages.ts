import { FilterTree } from './filter-tree.ts';
import type { BrokerLimits } from './limits.ts';
import type { Message } from './message.ts';

/**
 * The retained message of each topic, MQTT 3.1.1 section 3.3.1.3, bounded for topics that anybody may make up: what does not
 * fit is passed on to subscribers and not retained.
 */
export class RetainedMessages {
  /** Messages that were not retained because of a limit. */
  dropped = 0;
  readonly #limits: BrokerLimits;
  readonly #messages = new Map<string, Message>();
  readonly #foreign = { count: 0, bytes: 0 };

  constructor(limits: BrokerLimits) {
    this.#limits = limits;
  }

  /** @param ours a topic of the contract's tree, which only known stations have: not bounded here */
  set(message: Message, ours: boolean): void {
    const { topic, payload } = message;
    const before = this.#messages.get(topic);
    if (!ours) {
      const { count, bytes } = this.#foreign;
      const after = {
        count: count - (before === undefined ? 0 : 1) + (payload.length > 0 ? 1 : 0),
        bytes: bytes - (before?.payload.length ?? 0) + payload.length,
      };
      if (
        payload.length > 0 &&
        (after.count > this.#limits.maxRetainedMessages || after.bytes > this.#limits.maxRetainedBytes)
      ) {
        // What was retained before is the older: better none than that [MQTT-3.3.1-7].
        if (before !== undefined) this.#forget(topic, before);
        this.dropped++;
        return;
      }
      Object.assign(this.#foreign, after);
    }
    if (payload.length > 0) this.#messages.set(topic, message);
    else this.#messages.delete(topic);
  }

  get isEmpty(): boolean {
    return this.#messages.size === 0;
  }

  /** What a new subscription to this filter is sent, one after the other as they are then; null for each that was looked at in vain. */
  *matching(filter: string): Generator<Message | null, undefined> {
    if (!filter.includes('+') && !filter.endsWith('#')) {
      yield this.#messages.get(filter) ?? null;
      return;
    }
    const tree = new FilterTree<true>();
    tree.add(filter, true, 0);
    for (const message of this.#messages.values()) yield tree.match(message.topic).size > 0 ? message : null;
  }

  #forget(topic: string, { payload }: Message): void {
    this.#messages.delete(topic);
    this.#foreign.count--;
    this.#foreign.bytes -= payload.length;
  }
}
