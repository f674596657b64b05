import { normalCdf } from './normal.ts';
import { finiteList } from './robust-scale.ts';

/** A test for a monotonic trend. */
export interface MannKendall {
  /** Rising pairs minus falling pairs. */
  readonly s: number;
  /** Variance of s without a trend, corrected for ties. */
  readonly variance: number;
  /** Standardised s with continuity correction. */
  readonly z: number;
  /** Two-sided p-value of z. */
  readonly pTwoSided: number;
  /** Exact p-value in the direction of s, without ties and up to 10 values; null beyond. */
  readonly pExactOneSided: number | null;
}

/** Most values for which the exact distribution is used. Source: R. O. Gilbert 1987, table A18, ends there. */
const EXACT_UP_TO = 10;

/**
 * Mann–Kendall test for a monotonic trend of a series in time order.
 *
 * @param values finite, at least three, independent apart from the trend
 * @throws {RangeError} if there are fewer than three values or one is not finite
 * Source: R. O. Gilbert, Statistical Methods for Environmental Pollution Monitoring, 1987, chapter 16.
 * @example
 * mannKendall([5, 6, 11, 8, 10]); // { s: 6, variance: 16.66667, z: 1.224745, pTwoSided: 0.2206714, pExactOneSided: 0.1166667 }
 */
export function mannKendall(values: ArrayLike<number>): MannKendall {
  const list = finiteList(values, 3);
  const n = list.length;
  let s = 0;
  for (let i = 0; i < n; i++) for (let j = i + 1; j < n; j++) s += Math.sign(list[j]! - list[i]!);
  const ties = tieGroups(list);
  const tied = ties.reduce((sum, size) => sum + size * (size - 1) * (2 * size + 5), 0);
  const variance = (n * (n - 1) * (2 * n + 5) - tied) / 18;
  const z = s === 0 ? 0 : (s - Math.sign(s)) / Math.sqrt(variance);
  return {
    s,
    variance,
    z,
    pTwoSided: 2 * normalCdf(-Math.abs(z)),
    pExactOneSided: ties.length === 0 && n <= EXACT_UP_TO ? exactTail(n, Math.abs(s)) : null,
  };
}

/** Sizes of the groups of equal values, two and larger, in the order of the values. */
export function tieGroups(values: readonly number[]): number[] {
  const counts = new Map<number, number>();
  for (const value of values) counts.set(value, (counts.get(value) ?? 0) + 1);
  return [...counts.values()].filter((size) => size > 1);
}

/** Probability of s or more rising pairs in excess, over all orders of n different values (inversion counts). */
function exactTail(n: number, s: number): number {
  let counts = [1];
  for (let size = 2; size <= n; size++) {
    const next = new Array<number>((size * (size - 1)) / 2 + 1).fill(0);
    for (const [inversions, count] of counts.entries())
      for (let added = 0; added < size; added++) next[inversions + added]! += count;
    counts = next;
  }
  const pairs = counts.length - 1;
  const total = counts.reduce((sum, count) => sum + count, 0);
  const tail = counts.reduce((sum, count, inversions) => (pairs - 2 * inversions >= s ? sum + count : sum), 0);
  return tail / total;
}
