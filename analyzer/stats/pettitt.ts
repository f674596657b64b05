import { finiteList } from './robust-scale.ts';

/** Where a series most likely shifted, and how likely that is by chance. */
export interface Pettitt {
  /** Largest absolute rank sum. */
  readonly k: number;
  /** Values before the change: the change is after this many. */
  readonly changeAfter: number;
  /** Approximate two-sided p-value, at most 1. */
  readonly p: number;
}

/**
 * Pettitt's rank test for one change of level at an unknown time.
 *
 * @param values finite, at least three, in time order
 * @throws {RangeError} if there are fewer than three values or one is not finite
 * Source: A. N. Pettitt, Applied Statistics 28, 1979; p = 2 exp(-6 K² / (n³ + n²)).
 * @example
 * pettitt([1, 2, 1, 2, 1, 9, 8, 9, 8, 9]); // { k: 25, changeAfter: 5, p: 0.06614 }
 */
export function pettitt(values: ArrayLike<number>): Pettitt {
  const list = finiteList(values, 3);
  const n = list.length;
  let sum = 0;
  let k = 0;
  let changeAfter = 0;
  for (let t = 0; t < n - 1; t++) {
    for (let j = 0; j < n; j++) sum += Math.sign(list[t]! - list[j]!);
    if (Math.abs(sum) > k) {
      k = Math.abs(sum);
      changeAfter = t + 1;
    }
  }
  return { k, changeAfter, p: Math.min(1, 2 * Math.exp((-6 * k * k) / (n ** 3 + n ** 2))) };
}
