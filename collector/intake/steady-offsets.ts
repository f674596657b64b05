/**
 * Packs in a row that are off by the same: plain numbers, because a burst of stored readings is looked at pack by pack.
 * Offsets are ms, times epoch ms.
 */
export class SteadyOffsets {
  /** Packs that agree; the first of them came then. */
  packs = 0;
  readings = 0;
  firstAt = 0;
  /** Of those that agree: what is off least was delayed least. */
  mostOffMs = 0;
  #leastOffMs = 0;
  #latestOffMs = 0;

  /**
   * Takes the next pack; where it does not agree with all before it the row begins anew.
   *
   * @param toleranceMs by which two that agree differ at most
   * @returns by how much it is off from the one before it, ms, where it began anew; null where it agrees
   */
  add(offMs: number, receivedAt: number, readings: number, toleranceMs: number): number | null {
    const strayed = this.packs > 0 ? offMs - this.#latestOffMs : 0;
    const agrees = this.packs > 0 && this.mostOffMs - offMs <= toleranceMs && offMs - this.#leastOffMs <= toleranceMs;
    const began = this.packs > 0 && !agrees;
    this.#latestOffMs = offMs;
    if (agrees) {
      if (offMs > this.mostOffMs) this.mostOffMs = offMs;
      if (offMs < this.#leastOffMs) this.#leastOffMs = offMs;
      this.packs++;
      this.readings += readings;
      return null;
    }
    this.packs = 1;
    this.readings = readings;
    this.firstAt = receivedAt;
    this.mostOffMs = offMs;
    this.#leastOffMs = offMs;
    return began ? strayed : null;
  }

  clear(): void {
    this.packs = 0;
    this.readings = 0;
  }
}
