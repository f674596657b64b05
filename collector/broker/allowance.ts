/** A message counts as one for each of these. Source: own choice: a report of all channels is shorter. */
const BYTES = 1024;

/**
 * What a refused message takes more, of its own worth. Source: own choice: measured with packs of 8 MB that say nothing, the slowest hundredth of others'
 * acknowledgements took 2.3 times what it does without them, and with this no more than that; a station that is mistaken now and then does not come near its limit.
 */
const REFUSED = 7;

/** Sweeps of the gate in a second. */
export const SWEEPS_PER_SECOND = 4;

/**
 * How many messages may come at once: as many as one second allows, filled up a quarter second at a time. It counts sweeps
 * and has no clock.
 */
export class Allowance {
  readonly #perSecond: number;
  #left: number;
  #sweep: number;

  constructor(perSecond: number, sweep: number) {
    this.#perSecond = perSecond;
    this.#left = perSecond;
    this.#sweep = sweep;
  }

  /**
   * Takes a message's worth; false when nothing is left until a later sweep. A long one may overdraw, and is paid off
   * before the next.
   */
  take(sweep: number, bytes: number): boolean {
    if (sweep !== this.#sweep) {
      const more = (this.#perSecond / SWEEPS_PER_SECOND) * (sweep - this.#sweep);
      this.#left = Math.min(this.#perSecond, this.#left + more);
      this.#sweep = sweep;
    }
    if (this.#left < 1) return false;
    this.#left -= worth(bytes);
    return true;
  }

  /** A message that was taken has been refused: what brings nothing comes more seldom. */
  refused(bytes: number): void {
    this.#left -= REFUSED * worth(bytes);
  }
}

const worth = (bytes: number): number => Math.max(1, bytes / BYTES);
