/** A message counts as one for each of these. Source: own choice: a report of all channels is shorter. */
const BYTES = 1024;

/** Sweeps of the gate in a second. */
export const SWEEPS_PER_SECOND = 4;

/** How many messages a long one counts as. */
export const worth = (bytes: number): number => Math.max(1, bytes / BYTES);

/**
 * How many messages may come at once: as many as one second allows, filled up a quarter second at a time. It counts sweeps
 * and has no clock.
 */
export class Allowance {
  readonly #perSecond: number;
  readonly #most: number;
  #left: number;
  #sweep: number;

  /** @param most that may gather; default: of a second */
  constructor(perSecond: number, sweep: number, most = perSecond) {
    this.#perSecond = perSecond;
    this.#most = most;
    this.#left = most;
    this.#sweep = sweep;
  }

  /**
   * Takes a message's worth; false when nothing is left until a later sweep. A long one may overdraw, and is paid off
   * before the next.
   */
  take(sweep: number, bytes: number): boolean {
    this.#refill(sweep);
    if (this.#left < 1) return false;
    this.#left -= worth(bytes);
    return true;
  }

  /** Whether anything is left. */
  has(sweep: number): boolean {
    this.#refill(sweep);
    return this.#left > 0;
  }

  /** Takes so much, whatever is left; less than 0 gives back. */
  spend(sweep: number, messages: number): void {
    this.#refill(sweep);
    this.#left = Math.min(this.#most, this.#left - messages);
  }

  /** Whether all of it is there: whoever has it owes nothing. */
  isWhole(sweep: number): boolean {
    this.#refill(sweep);
    return this.#left === this.#most;
  }

  #refill(sweep: number): void {
    if (sweep === this.#sweep) return;
    const more = (this.#perSecond / SWEEPS_PER_SECOND) * (sweep - this.#sweep);
    this.#left = Math.min(this.#most, this.#left + more);
    this.#sweep = sweep;
  }
}
