import { type UseHour, useHours } from '../../analyzer/index.ts';
import type { Store } from '../../collector/index.ts';

interface Kept {
  hours: UseHour[];
  /** Wall clock of the last look, and of the last one over everything, epoch ms. */
  lookedAt: number;
  wholeAt: number;
}

/** Source: own choice, because late readings of days ago are rare and lives are not known to the hour. */
const WHOLE_EVERY_MS = 3_600_000;
const LOOK_EVERY_MS = 60_000;
/** How far back a look goes that is not over everything, ms. */
const RECENT_MS = 2 * 86_400_000;

/** What each gun sprayed, by the hour, out of the store's runs; kept, because it is months of runs. */
export class GunUse {
  readonly #store: Store;
  readonly #now: () => number;
  readonly #kept = new Map<string, Kept>();

  constructor(store: Store, now: () => number) {
    this.#store = store;
    this.#now = now;
  }

  /** Ascending by time; at most a minute old, and an hour old for what came late. */
  hours(gun: string): readonly UseHour[] {
    const now = this.#now();
    const kept = this.#kept.get(gun);
    if (kept !== undefined && now - kept.lookedAt < LOOK_EVERY_MS) return kept.hours;
    if (kept === undefined || now - kept.wholeAt > WHOLE_EVERY_MS) {
      const hours = useHours(this.#store.runs.load(gun));
      this.#kept.set(gun, { hours, lookedAt: now, wholeAt: now });
      return hours;
    }
    const last = kept.hours.at(-1)?.time ?? 0;
    const from = Math.floor((last - RECENT_MS) / 3_600_000) * 3_600_000;
    const older = kept.hours.filter(({ time }) => time < from);
    kept.hours = [...older, ...useHours(this.#store.runs.load(gun, from))];
    kept.lookedAt = now;
    return kept.hours;
  }
}
