import type { LatestReadings } from './sources.ts';

/** Gaps between reports that an interval is taken from. Source: own choice, because idle nodes vary between a few intervals. */
const GAPS = 16;
/** A longer gap is an outage and no way of reporting, ms. Source: own choice, half of what counts as a silent station. */
const OUTAGE_MS = 15 * 60_000;

interface Station {
  time: number;
  spraying: boolean | null;
  /** Latest gaps that followed a report of this state, ms. */
  readonly gaps: Map<boolean | null, number[]>;
}

/**
 * Learns at which intervals stations report, spraying and idle apart, since nodes report more slowly when idle.
 * Only what it is shown counts; it has no clock.
 */
export class Cadence {
  readonly #stations = new Map<string, Station>();

  /** Takes note of a station's newest report. */
  observe({ station, time, values }: LatestReadings): void {
    const trigger = values.trigger?.value;
    const spraying = typeof trigger === 'boolean' ? trigger : null;
    const known = this.#stations.get(station);
    if (!known) {
      this.#stations.set(station, { time, spraying, gaps: new Map() });
      return;
    }
    if (time <= known.time) return;
    const gap = time - known.time;
    if (gap <= OUTAGE_MS) {
      const gaps = known.gaps.get(known.spraying) ?? [];
      gaps.push(gap);
      if (gaps.length > GAPS) gaps.shift();
      known.gaps.set(known.spraying, gaps);
    }
    known.time = time;
    known.spraying = spraying;
  }

  /**
   * The interval at which a station reports in its present state, ms: the second longest of the latest gaps, so that
   * one loss does not count; null before two gaps were seen.
   */
  intervalMs(station: string): number | null {
    const known = this.#stations.get(station);
    const gaps = known?.gaps.get(known.spraying) ?? [];
    return gaps.length < 2 ? null : ([...gaps].sort((left, right) => right - left)[1] as number);
  }
}
