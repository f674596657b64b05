/** Failures that pass unhindered, and the longest wait after more of them. */
interface Patience {
  readonly free: number;
  readonly longestMs: number;
}

// Source: own choice. Somebody who has forgotten tries some passwords; a hall behind one address has some such people; and a
// name that is tried from everywhere must not keep its owner out, who comes from an address that is known.
const PAIR: Patience = { free: 5, longestMs: 300_000 };
const ADDRESS: Patience = { free: 20, longestMs: 900_000 };
const NAME: Patience = { free: 50, longestMs: 60_000 };

/** Failures are forgotten after so long without another, ms. Source: own choice. */
const MEMORY_MS = 3_600_000;
/** What is remembered at most. Source: own choice, some MB; the oldest are forgotten first. */
const MOST = 30_000;

interface Failures {
  count: number;
  last: number;
}

/**
 * Slows down who guesses passwords: after some failures each next try has to wait, twice as long every time. Counted for a
 * name from an address, for an address, and for a name; who has signed in from an address before is held up there only
 * by failures of the same name and address.
 */
export class Throttle {
  readonly #failures = new Map<string, Failures>();

  /**
   * How long this try has to wait, ms; 0 for not at all.
   *
   * @param familiar the person has signed in from this address before
   */
  waitMs(name: string, address: string, familiar: boolean, now: number): number {
    const pair = this.#wait(pairKey(name, address), PAIR, now);
    if (familiar) return pair;
    return Math.max(pair, this.#wait(addressKey(address), ADDRESS, now), this.#wait(nameKey(name), NAME, now));
  }

  /** Counts a try before it is known how it ends, so that many at once are not one. */
  tried(name: string, address: string, now: number): void {
    for (const key of [pairKey(name, address), addressKey(address), nameKey(name)]) {
      const known = this.#failures.get(key);
      this.#failures.delete(key);
      const count = known && now - known.last < MEMORY_MS ? known.count + 1 : 1;
      this.#failures.set(key, { count, last: now });
    }
    for (const oldest of this.#failures.keys()) {
      if (this.#failures.size <= MOST) break;
      this.#failures.delete(oldest);
    }
  }

  /** The try was good: it does not count, and neither do those of this name from this address before. */
  succeeded(name: string, address: string): void {
    this.#failures.delete(pairKey(name, address));
    for (const key of [addressKey(address), nameKey(name)]) {
      const known = this.#failures.get(key);
      if (known) known.count -= 1;
    }
  }

  #wait(key: string, { free, longestMs }: Patience, now: number): number {
    const known = this.#failures.get(key);
    if (!known || known.count < free) return 0;
    const gap = Math.min(longestMs, 1000 * 2 ** Math.min(20, known.count - free));
    return Math.max(0, Math.min(gap, known.last + gap - now));
  }
}

const nameKey = (name: string): string => `name ${name.toLowerCase()}`;
const addressKey = (address: string): string => `from ${address}`;
const pairKey = (name: string, address: string): string => `both ${address} ${name.toLowerCase()}`;
