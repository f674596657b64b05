import type { Delivery } from './delivery.ts';
import type { BrokerLimits } from './limits.ts';
import { countPubacks } from './pubacks.ts';

/** What one connection is still owed: commits by the intake, and PUBACKs by it and by aedes. */
export class Owed {
  readonly #limits: BrokerLimits;
  #messages = 0;
  #bytes = 0;
  #byIntake = 0;
  #byAedes = 0;

  constructor(limits: BrokerLimits) {
    this.#limits = limits;
  }

  /** PUBACKs that wait for the intake. */
  get byIntake(): number {
    return this.#byIntake;
  }

  /** PUBACKs that aedes has not sent yet. */
  get byAedes(): number {
    return this.#byAedes;
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
    if (delivery.packetId > 0) this.#byIntake++;
  }

  settled(delivery: Delivery): void {
    this.#messages--;
    this.#bytes -= delivery.payload.length;
    if (delivery.packetId > 0) this.#byIntake--;
  }

  passedOn(): void {
    this.#byAedes++;
  }

  /** aedes has sent these whole packets; true when it has paid its last PUBACK with them. */
  sentByAedes(bytes: Buffer): boolean {
    if (this.#byAedes === 0) return false;
    this.#byAedes = Math.max(0, this.#byAedes - countPubacks(bytes));
    return this.#byAedes === 0;
  }
}
