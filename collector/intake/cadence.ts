/** Gaps between reports that an interval is taken from. Source: own choice, because idle nodes vary between a few intervals. */
const GAPS = 16;
/** A longer gap is an outage and no way of reporting, ms. Source: own choice, half of what counts as a silent station. */
const OUTAGE_MS = 15 * 60_000;
/** What an idle node that is no stranger is taken to report at until it is known, ms. Source: the contract lets a
 * trigger hold for 60 s of silence, and three intervals count as lost. */
const IDLE_MS = 20_000;
/** A gap that ends sooner after the trigger was released says nothing of how a node reports when idle, ms. Source: own choice,
 * because nodes go on at the pace of spraying for some seconds, to catch what air and powder do then. */
const SETTLED_MS = 30_000;

/** Gaps of one state, the oldest first, ms. */
type Gaps = number[];

/**
 * Learns at which interval a station reports, spraying and idle apart, since nodes report more slowly when idle.
 * Only what it is shown counts; it has no clock.
 */
export class Cadence {
  #time = Number.NEGATIVE_INFINITY;
  #spraying: boolean | null = null;
  /** First report since the gun is idle. */
  #idleSince = Number.POSITIVE_INFINITY;
  #heardBefore = false;
  /** Between the newest readings of what was stored and sent later, ms; 0: not known. */
  #storedGap = 0;
  /** Latest gaps by the state in which they lie, ms. */
  readonly #gaps = new Map<boolean | null, Gaps>();

  /**
   * The station has reported before, in a way that says little of its intervals: stored readings sent later.
   *
   * @param gap between the newest of them and the one before, ms; a node cannot send more often than it reads
   */
  heardBefore(gap = Number.POSITIVE_INFINITY): void {
    this.#heardBefore = true;
    if (gap > 0 && gap <= OUTAGE_MS) this.#storedGap = gap;
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
    if (gap <= OUTAGE_MS && this.#tells(time, spraying)) {
      const gaps = this.#gaps.get(this.#spraying) ?? [];
      gaps.push(gap);
      if (gaps.length > GAPS) gaps.shift();
      this.#gaps.set(this.#spraying, gaps);
    }
    if (spraying !== false) this.#idleSince = Number.POSITIVE_INFINITY;
    else if (this.#spraying !== false) this.#idleSince = time;
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
    if (this.#spraying === false) return this.#heardBefore || this.#gaps.has(true) ? IDLE_MS : null;
    return this.#spraying === null && this.#storedGap > 0 ? this.#storedGap : null;
  }

  /** Whether the gap that a report ends says how the node reports: not when it goes on at the pace of spraying, or a pull cut the gap short. */
  #tells(time: number, spraying: boolean | null): boolean {
    if (this.#spraying !== false) return true;
    return spraying === false && time - this.#idleSince >= SETTLED_MS;
  }
}
