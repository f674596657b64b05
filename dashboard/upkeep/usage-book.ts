import { renewUsage, type Usage, usageOf } from '../../analyzer/index.ts';
import type { Store } from '../../collector/index.ts';
import { KeptByGun, RECENT_MS } from './kept-by-gun.ts';

/** Source: own choice, because counters of hours do not change visibly within it. */
const LOOK_EVERY_MS = 20_000;

/** What each gun sprayed, run by run, out of the store. */
export class UsageBook {
  readonly #kept: KeptByGun<Usage>;

  constructor({ runs }: Pick<Store, 'runs'>, now: () => number) {
    this.#kept = new KeptByGun({
      now,
      lookEveryMs: LOOK_EVERY_MS,
      whole: (gun) => usageOf(runs.load(gun)),
      renewed: (gun, before) => {
        const from = Math.max(0, (before.starts.at(-1) ?? 0) - RECENT_MS);
        return renewUsage(before, from, usageOf(runs.load(gun, from)));
      },
    });
  }

  of(gun: string): Usage {
    return this.#kept.of(gun);
  }
}
