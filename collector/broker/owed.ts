import type { Delivery } from './delivery.ts';
import type { BrokerLimits } from './limits.ts';

/** What of one connection waits for its commit. */
export class Owed {
  readonly #limits: BrokerLimits;
  #messages = 0;
  #bytes = 0;
  #pubacks = 0;

  constructor(limits: BrokerLimits) {
    this.#limits = limits;
  }

  /** PUBACKs that are due once it has come. */
  get pubacks(): number {
    return this.#pubacks;
  }

  /** True when no more may wait. */
  get full(): boolean {
    return this.#messages >= this.#limits.maxWaitingMessages || this.#bytes >= this.#limits.maxWaitingBytes;
  }

  /** True when at most half of what may wait does. */
  get low(): boolean {
    return 2 * this.#messages <= this.#limits.maxWaitingMessages && 2 * this.#bytes <= this.#limits.maxWaitingBytes;
  }

  taken(delivery: Delivery): void {
    this.#messages++;
    this.#bytes += delivery.payload.length;
    if (delivery.packetId > 0) this.#pubacks++;
  }

  settled(delivery: Delivery): void {
    this.#messages--;
    this.#bytes -= delivery.payload.length;
    if (delivery.packetId > 0) this.#pubacks--;
  }
}
