import type { Estimate } from './count-interval.ts';
import { normalQuantile } from './normal.ts';

/**
 * A statistic of independent groups with normal confidence limits from leaving out one group at a time: for values that belong
 * together (several forecasts of one insert, several findings of one hall), where their count overstates what is known.
 *
 * @param groups at least one
 * @param statistic of some of the groups; finite for all but any one of them
 * @param confidence 0 < confidence < 1, default 0.95
 * @returns value and limits; limits are NaN for a single group
 * @throws {RangeError} if there is no group or the confidence is out of range
 * Source: B. Efron & R. J. Tibshirani, An Introduction to the Bootstrap, 1993, chapter 11.
 * @example
 * jackknife([1, 2, 3, 6], (list) => list.reduce((a, b) => a + b, 0) / list.length); // { value: 3, low: 0.883, high: 5.117 }
 */
export function jackknife<Group>(
  groups: readonly Group[],
  statistic: (groups: readonly Group[]) => number,
  confidence = 0.95,
): Estimate {
  if (groups.length === 0) throw new RangeError('no group: expected at least one');
  if (!(confidence > 0 && confidence < 1))
    throw new RangeError(`confidence ${confidence}: expected 0 < confidence < 1`);
  const n = groups.length;
  const value = statistic(groups);
  if (n === 1) return { value, low: Number.NaN, high: Number.NaN };
  const left = groups.map((_, out) => statistic(groups.filter((_group, index) => index !== out)));
  const centre = left.reduce((sum, one) => sum + one, 0) / n;
  const variance = ((n - 1) / n) * left.reduce((sum, one) => sum + (one - centre) ** 2, 0);
  const reach = normalQuantile((1 + confidence) / 2) * Math.sqrt(variance);
  return { value, low: value - reach, high: value + reach };
}
