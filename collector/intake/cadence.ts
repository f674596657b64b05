/** Gaps between reports that an interval is taken from. Source: own choice, because idle nodes vary between a few intervals. */
const GAPS = 16;
/** A longer gap is an outage and no way of reporting, ms. Source: own choice, half of what counts as a silent station. */
const OUTAGE_MS = 15 * 60_000;
/** What an idle node that is no stranger is taken to report at until it is known, ms. Source: the contract lets a
 * trigger hold for 60 s of silence, and three intervals count as lost. */
const IDLE_MS = 20_000;

/**
 * Learns at which interval a station reports, spraying and idle apart, since nodes report more slowly when idle.
 * Only what it is shown counts; it has no clock.
 */
export class Cadence {
  #time = Number.NEGATIVE_INFINITY;
  #spraying: boolean | null = null;
  #heardBefore = false;
  /** Latest gaps that followed a report of this state, ms. */
  readonly #gaps = new Map<boolean | null, number[]>();

  /** The station has reported before, in a way that says nothing of its intervals: stored readings sent later. */
  heardBefore(): void {
    this.#heardBefore = true;
  }

  /**
   * Takes note of a report; an older or repeated one changes nothing.
   *
   * @param time of its newest reading, epoch ms
   * @param spraying the trigger as it stands with it; null where none is fitted
   */
  report(time: number, spraying: boolean | null): void {
    if (time <= this.#time) return;
    const gap = time - this.#time;
    if (gap <= OUTAGE_MS) {
      const gaps = this.#gaps.get(this.#spraying) ?? [];
      gaps.push(gap);
      if (gaps.length > GAPS) gaps.shift();
      this.#gaps.set(this.#spraying, gaps);
    }
    this.#time = time;
    this.#spraying = spraying;
  }

  /**
   * The interval at which the station reports in its present state, ms: the second longest of the latest gaps, so that
   * one loss does not count; null before two gaps were seen.
   */
  intervalMs(): number | null {
    const gaps = this.#gaps.get(this.#spraying) ?? [];
    if (gaps.length >= 2) return [...gaps].sort((left, right) => right - left)[1]!;
    return this.#spraying === false && (this.#heardBefore || this.#gaps.has(true)) ? IDLE_MS : null;
  }
}
