import { type Delivery, LONG_BYTES } from './delivery.ts';
import type { BrokerLimits } from './limits.ts';

/** What of one connection waits for its commit. */
export class Owed {
  readonly #limits: BrokerLimits;
  #messages = 0;
  #bytes = 0;
  #answers = 0;
  #long = 0;

  constructor(limits: BrokerLimits) {
    this.#limits = limits;
  }

  /** PUBACKs and PUBRECs that are due once it has come. */
  get answers(): number {
    return this.#answers;
  }

  /** True when no more may wait. */
  get full(): boolean {
    const { maxWaitingMessages, maxWaitingBytes } = this.#limits;
    return this.#long > 0 || this.#messages >= maxWaitingMessages || this.#bytes >= maxWaitingBytes;
  }

  /** True when at most half of what may wait does. */
  get low(): boolean {
    const { maxWaitingMessages, maxWaitingBytes } = this.#limits;
    return this.#long === 0 && 2 * this.#messages <= maxWaitingMessages && 2 * this.#bytes <= maxWaitingBytes;
  }

  /** @param isAnswered whether PUBACK or PUBREC is due for it */
  taken(delivery: Delivery, isAnswered: boolean): void {
    this.#messages++;
    this.#bytes += delivery.payload.length;
    if (delivery.payload.length >= LONG_BYTES) this.#long++;
    if (isAnswered) this.#answers++;
  }

  settled(delivery: Delivery, isAnswered: boolean): void {
    this.#messages--;
    this.#bytes -= delivery.payload.length;
    if (delivery.payload.length >= LONG_BYTES) this.#long--;
    if (isAnswered) this.#answers--;
  }
}
