import { type Delivery, LONG_BYTES } from './delivery.ts';
import type { BrokerLimits } from './limits.ts';

/** What of one connection waits for its commit. */
export class Owed {
  readonly #limits: BrokerLimits;
  #messages = 0;
  #bytes = 0;
  #pubacks = 0;
  #long = 0;

  constructor(limits: BrokerLimits) {
    this.#limits = limits;
  }

  /** PUBACKs that are due once it has come. */
  get pubacks(): number {
    return this.#pubacks;
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

  taken(delivery: Delivery): void {
    this.#messages++;
    this.#bytes += delivery.payload.length;
    if (delivery.payload.length >= LONG_BYTES) this.#long++;
    if (delivery.packetId > 0) this.#pubacks++;
  }

  settled(delivery: Delivery): void {
    this.#messages--;
    this.#bytes -= delivery.payload.length;
    if (delivery.payload.length >= LONG_BYTES) this.#long--;
    if (delivery.packetId > 0) this.#pubacks--;
  }
}
