/** The pulls of a gun so far, for counting what it saw of an event. */
export class PullHistory {
  readonly #starts: number[] = [];
  readonly #lengths: number[] = [];
  readonly #powders: number[] = [];

  add(startMs: number, lengthMs: number, powder: number): void {
    this.#starts.push(startMs);
    this.#lengths.push(lengthMs);
    this.#powders.push(powder);
  }

  /** Spray hours of the pulls that began in a span of time; with one powder, or any when null. */
  sprayHoursBetween(fromMs: number, toMs: number, powder: number | null): number {
    let sum = 0;
    for (let index = 0; index < this.#starts.length; index++) {
      const start = this.#starts[index]!;
      if (start >= fromMs && start < toMs && (powder === null || this.#powders[index] === powder))
        sum += this.#lengths[index]!;
    }
    return sum / 3_600_000;
  }
}
