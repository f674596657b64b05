import { quantileSorted } from 'simple-statistics';
import type { Estimate } from './count-interval.ts';
import { incompleteBeta } from './incomplete-beta.ts';
import { finiteList } from './robust-scale.ts';

/**
 * Median with distribution-free confidence limits: two values of the sample, chosen by the binomial distribution of how many
 * lie below the true median. Small samples give the whole range.
 *
 * @param values finite, at least one
 * @param confidence 0 < confidence < 1, default 0.95; kept or exceeded where the sample allows
 * @throws {RangeError} if there is no value, one is not finite, or the confidence is out of range
 * Source: W. J. Conover, Practical Nonparametric Statistics, 3rd ed. 1999, section 3.2.
 * @example
 * medianInterval([1, 2, 3, 4, 5, 6, 7, 8, 9, 10]); // { value: 5.5, low: 2, high: 9 }
 */
export function medianInterval(values: ArrayLike<number>, confidence = 0.95): Estimate {
  if (!(confidence > 0 && confidence < 1))
    throw new RangeError(`confidence ${confidence}: expected 0 < confidence < 1`);
  const sorted = finiteList(values).sort((a, b) => a - b);
  const n = sorted.length;
  /** Probability that at most k of n values lie below the true median. */
  const atMost = (k: number): number => incompleteBeta(0.5, n - k, k + 1);
  let rank = 0;
  while (rank + 1 < n / 2 && atMost(rank) <= (1 - confidence) / 2) rank++;
  const place = Math.max(0, rank - 1);
  return { value: quantileSorted(sorted, 0.5), low: sorted[place]!, high: sorted[n - 1 - place]! };
}
