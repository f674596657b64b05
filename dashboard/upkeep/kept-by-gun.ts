/** Everything is read anew so often: late readings may have changed runs of long ago. Source: own choice. */
const WHOLE_EVERY_MS = 3_600_000;
/** How far back a look goes that is not over everything, ms. Source: own choice, because most late readings are hours old. */
export const RECENT_MS = 2 * 86_400_000;

interface Kept<Made> {
  made: Made;
  /** Wall clock of the last look, and of the last one over everything, epoch ms. */
  lookedAt: number;
  wholeAt: number;
}

/** What is made of each gun's runs, kept because it is months of them: renewed at its end now and then, whole every hour. */
export class KeptByGun<Made> {
  readonly #now: () => number;
  readonly #lookEveryMs: number;
  readonly #whole: (gun: string) => Made;
  readonly #renewed: (gun: string, before: Made) => Made;
  readonly #kept = new Map<string, Kept<Made>>();

  constructor(options: {
    readonly now: () => number;
    readonly lookEveryMs: number;
    readonly whole: (gun: string) => Made;
    /** What was made before with its last two days made anew. */
    readonly renewed: (gun: string, before: Made) => Made;
  }) {
    this.#now = options.now;
    this.#lookEveryMs = options.lookEveryMs;
    this.#whole = options.whole;
    this.#renewed = options.renewed;
  }

  of(gun: string): Made {
    const now = this.#now();
    const kept = this.#kept.get(gun);
    if (kept === undefined || now - kept.wholeAt > WHOLE_EVERY_MS) {
      const made = this.#whole(gun);
      this.#kept.set(gun, { made, lookedAt: now, wholeAt: now });
      return made;
    }
    if (now - kept.lookedAt < this.#lookEveryMs) return kept.made;
    kept.made = this.#renewed(gun, kept.made);
    kept.lookedAt = now;
    return kept.made;
  }
}
