import { sampleStandardDeviation } from 'simple-statistics';
import { finiteList } from './robust-scale.ts';

/** A test of a constant mean by the largest cumulative sum of deviations. */
export interface CusumTest {
  /** Largest absolute cumulative sum over sigma·√n. */
  readonly statistic: number;
  /** Values before the place where it lies. */
  readonly changeAfter: number;
  /** p-value under a constant mean. */
  readonly p: number;
}

/**
 * OLS-CUSUM test of a constant mean: cumulative deviations from the overall mean behave like a Brownian bridge.
 *
 * @param values finite, at least three, independent, in time order; equal values give statistic 0 and p 1
 * @throws {RangeError} if there are fewer than three values or one is not finite
 * Source: W. Ploberger & W. Krämer, Econometrica 60, 1992; p by Kolmogorov's series; as efp(type = "OLS-CUSUM") of strucchange.
 * @example
 * cusumTest([1, 1.2, 0.8, 1, 5, 5.2, 4.8, 5]).changeAfter; // 4
 */
export function cusumTest(values: ArrayLike<number>): CusumTest {
  const list = finiteList(values, 3);
  const mean = list.reduce((sum, value) => sum + value, 0) / list.length;
  const sigma = sampleStandardDeviation(list);
  let sum = 0;
  let largest = 0;
  let changeAfter = 0;
  for (const [i, value] of list.entries()) {
    sum += value - mean;
    if (Math.abs(sum) > largest && i < list.length - 1) {
      largest = Math.abs(sum);
      changeAfter = i + 1;
    }
  }
  const statistic = sigma === 0 ? 0 : largest / (sigma * Math.sqrt(list.length));
  return { statistic, changeAfter, p: kolmogorovTail(statistic) };
}

/** Probability that the largest absolute value of a Brownian bridge exceeds x. */
function kolmogorovTail(x: number): number {
  if (x < 0.2) return 1;
  let tail = 0;
  for (let k = 1; k <= 100; k++) tail += (k % 2 === 1 ? 2 : -2) * Math.exp(-2 * k * k * x * x);
  return Math.min(1, tail);
}
