import type { Plant } from '../../collector/contract/index.ts';
import type { StationCommit } from '../../collector/index.ts';
import { cutContexts } from '../runs/track.ts';
import { CatchUpQueue } from './catch-up-queue.ts';
import { type Holding, heldByEach } from './held-runs.ts';
import { StationCutter } from './station-cutter.ts';

/** Stage one of all stations of a plant, and whose turn it is to take in what is new. */
export class LiveCutters {
  readonly #cutters = new Map<string, StationCutter>();
  readonly #behind = new CatchUpQueue<StationCutter>();
  /** Turns taken since stage two had its own. */
  #turns = 0;

  /**
   * @param now wall clock, epoch ms
   * @param writeDown called on a long way of a station with the reading time from which stage two has to look again, to call its `flush` within
   * a transaction
   */
  constructor(
    plant: Plant,
    now: () => number,
    holding: Holding,
    writeDown: (cutter: StationCutter, changedFrom: number) => void,
  ) {
    const contexts = cutContexts(plant);
    const own = heldByEach(holding, contexts.size);
    for (const context of contexts.values()) {
      const cutter: StationCutter = new StationCutter(context, now, own, (from) => writeDown(cutter, from));
      this.#cutters.set(context.station, cutter);
    }
  }

  /** Ids of the stations. */
  get stations(): Iterable<string> {
    return this.#cutters.keys();
  }

  get all(): Iterable<StationCutter> {
    return this.#cutters.values();
  }

  /** Those that have readings. */
  get known(): StationCutter[] {
    return [...this.#cutters.values()].filter(({ hasReadings }) => hasReadings);
  }

  /** Newest reading that was looked at, epoch ms; 0 when there is none. */
  get newest(): number {
    return Math.max(0, ...[...this.#cutters.values()].map(({ lastTime }) => lastTime));
  }

  /** True when readings were told that were not looked at. */
  get areBehind(): boolean {
    return this.#behind.size > 0;
  }

  /** Stage two is level with the readings: what was read ahead for it on its way is let go of. */
  rest(): void {
    for (const { runs } of this.#cutters.values()) runs.rest();
  }

  /** Readings have become durable; those of stations that the plant does not have are nothing to it. */
  note(stations: readonly StationCommit[]): void {
    for (const { station, minTime, maxTime } of stations) {
      const cutter = this.#cutters.get(station);
      if (cutter === undefined) continue;
      cutter.note(minTime, maxTime);
      this.#behind.add(cutter);
    }
  }

  /**
   * Whose turn it is to catch up; null when it is stage two's: with readings that never stop it must have its turn too, after all stations
   * had theirs.
   */
  next(): StationCutter | null {
    const next = this.#turns < this.#cutters.size ? this.#behind.next() : null;
    this.#turns = next === null ? 0 : this.#turns + 1;
    return next;
  }
}
