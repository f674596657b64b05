import { type UseHour, useHours } from '../../analyzer/index.ts';
import type { Store } from '../../collector/index.ts';
import { KeptByGun, RECENT_MS } from '../upkeep/kept-by-gun.ts';

const HOUR_MS = 3_600_000;
/** Source: own choice, because lives and costs are not known to the minute. */
const LOOK_EVERY_MS = 60_000;

/** What each gun sprayed, by the hour, out of the store's runs. */
export class GunUse {
  readonly #kept: KeptByGun<readonly UseHour[]>;

  constructor({ runs }: Pick<Store, 'runs'>, now: () => number) {
    this.#kept = new KeptByGun<readonly UseHour[]>({
      now,
      lookEveryMs: LOOK_EVERY_MS,
      whole: (gun) => useHours(runs.load(gun)),
      renewed: (gun, before) => {
        const last = before.at(-1)?.time ?? 0;
        const from = Math.floor((last - RECENT_MS) / HOUR_MS) * HOUR_MS;
        return [...before.filter(({ time }) => time < from), ...useHours(runs.load(gun, from))];
      },
    });
  }

  /** Ascending by time; at most a minute old, and an hour old for what came late. */
  hours(gun: string): readonly UseHour[] {
    return this.#kept.of(gun);
  }
}
