import { renewUsage, type Usage, usageOf } from '../../analyzer/index.ts';
import type { Store } from '../../collector/index.ts';

interface Kept {
  usage: Usage;
  lookedAt: number;
  wholeAt: number;
}

/** Source: own choice, because counters of hours do not change visibly within it. */
const LOOK_EVERY_MS = 20_000;
/** Everything is read anew so often: late readings may have changed runs of long ago. Source: own choice. */
const WHOLE_EVERY_MS = 3_600_000;
/** How far back a look goes that is not over everything, ms. */
const RECENT_MS = 2 * 86_400_000;

/** What each gun sprayed, run by run, out of the store; kept, because it is months of runs. */
export class UsageBook {
  readonly #store: Store;
  readonly #now: () => number;
  readonly #kept = new Map<string, Kept>();

  constructor(store: Store, now: () => number) {
    this.#store = store;
    this.#now = now;
  }

  of(gun: string): Usage {
    const now = this.#now();
    const kept = this.#kept.get(gun);
    if (kept === undefined || now - kept.wholeAt > WHOLE_EVERY_MS) {
      const usage = usageOf(this.#store.runs.load(gun));
      this.#kept.set(gun, { usage, lookedAt: now, wholeAt: now });
      return usage;
    }
    if (now - kept.lookedAt < LOOK_EVERY_MS) return kept.usage;
    const from = Math.max(0, (kept.usage.starts.at(-1) ?? 0) - RECENT_MS);
    kept.usage = renewUsage(kept.usage, from, usageOf(this.#store.runs.load(gun, from)));
    kept.lookedAt = now;
    return kept.usage;
  }
}
