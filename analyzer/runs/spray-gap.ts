/** Gaps whose median is the usual one. Source: own choice: some pulls of a slow logger. */
const KEPT = 9;

/** The last gaps between two readings that both saw air, a ring, ms; whether they are of one pull is not asked. */
export interface SprayGap {
  readonly values: Float64Array;
  next: number;
  count: number;
}

/** A station of which nothing has been read. */
export function startSprayGap(): SprayGap {
  return { values: new Float64Array(KEPT), next: 0, count: 0 };
}

/** Takes in one gap, ms. */
export function learnSprayGap(gap: SprayGap, gapMs: number): void {
  gap.values[gap.next] = gapMs;
  gap.next = (gap.next + 1) % KEPT;
  if (gap.count < KEPT) gap.count++;
}

/**
 * Median of the last gaps, ms: how often a logger that reports every few seconds does so, also where a pull holds
 * too few of its readings to tell. Of a node that reports more slowly when idle it is the interval while spraying.
 *
 * @returns 0 before there are enough
 * @example
 * const gap = startSprayGap();
 * for (let seen = 0; seen < 9; seen++) learnSprayGap(gap, seen === 4 ? 30_000 : 10_000);
 * usualSprayGap(gap); // 10000
 */
export function usualSprayGap(gap: SprayGap): number {
  return gap.count < KEPT ? 0 : gap.values.slice().sort()[KEPT >> 1]!;
}
