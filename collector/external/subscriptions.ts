import type { ISubscribePacket, IUnsubscribePacket } from 'mqtt-packet';
import type { Version } from './link.ts';

/** Retained messages only when a subscription is new; MQTT 5 section 3.8.3.1, retain handling. */
const WHEN_NEW = 1;

/** Which filters we want, which the session at the broker holds, and what it says of them. */
export class Subscriptions {
  /** What keeps messages from coming; null when nothing does. */
  fault: string | null = null;
  #held: readonly string[];
  readonly #wanted: readonly string[];
  #asked = 0;

  constructor(wanted: readonly string[], held: readonly string[]) {
    this.#wanted = wanted;
    this.#held = held;
  }

  get held(): readonly string[] {
    return this.#held;
  }

  /** What has to be sent on a new connection: also what the session holds is asked for again, since a broker may have lost it. */
  *begin(
    sessionPresent: boolean,
    version: Version,
    newId: () => number,
  ): Generator<ISubscribePacket | IUnsubscribePacket> {
    const left = sessionPresent ? this.#held.filter((filter) => !this.#wanted.includes(filter)) : [];
    if (left.length > 0) yield { cmd: 'unsubscribe', messageId: newId(), unsubscriptions: left };
    this.#asked = newId();
    this.fault = 'it has not confirmed our subscriptions yet';
    const options = version === 5 ? { nl: true, rap: false, rh: WHEN_NEW } : {};
    const subscriptions = this.#wanted.map((topic) => ({
      topic,
      qos: 1 as const,
      ...options,
      // Online states are wanted each time: nodes may have died while we were away from the broker.
      ...(version === 5 && topic.endsWith('/online') ? { rh: 0 } : {}),
    }));
    yield { cmd: 'subscribe', messageId: this.#asked, subscriptions };
  }

  /** The broker's answer. @returns false when it is no answer to what was asked last */
  granted(messageId: number, codes: readonly number[]): boolean {
    if (messageId !== this.#asked) return false;
    const refused = this.#wanted.filter((_, index) => (codes[index] ?? 128) >= 128);
    this.fault = refused.length === 0 ? null : `it refuses the subscription to ${refused.join(', ')}`;
    this.#held = this.#wanted.filter((filter) => !refused.includes(filter));
    return true;
  }
}
