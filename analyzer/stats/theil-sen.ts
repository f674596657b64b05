import { median } from 'simple-statistics';
import { tieGroups } from './mann-kendall.ts';
import { normalQuantile } from './normal.ts';
import { finiteList } from './robust-scale.ts';

/** A robust line and the confidence limits of its slope. */
export interface TheilSenLine {
  readonly slope: number;
  /** median(y) - slope · median(x). */
  readonly intercept: number;
  readonly low: number;
  readonly high: number;
}

/**
 * Theil–Sen line: the slope is the median of the slopes through all pairs of points with different x.
 *
 * @param x, y finite, as many, with at least two different x
 * @param confidence of the slope's limits, 0 < confidence < 1, default 0.95
 * @throws {RangeError} if sizes differ, a number is not finite, or all x are equal
 * Source: H. Theil 1950; P. K. Sen, J. Amer. Statist. Assoc. 63, 1968; limits by rounded ranks as scipy.stats.theilslopes.
 * @example
 * theilSen([1, 2, 3, 4, 10, 12, 18], [9, 15, 19, 20, 45, 55, 78], 0.93); // { slope: 4, intercept: 4, low: 3.7143, high: 4.375 }
 */
export function theilSen(x: ArrayLike<number>, y: ArrayLike<number>, confidence = 0.95): TheilSenLine {
  const xs = finiteList(x, 2);
  const ys = finiteList(y, 2);
  if (xs.length !== ys.length) throw new RangeError(`${xs.length} x and ${ys.length} y: expected as many`);
  if (!(confidence > 0 && confidence < 1))
    throw new RangeError(`confidence ${confidence}: expected 0 < confidence < 1`);
  const slopes: number[] = [];
  for (let i = 0; i < xs.length; i++)
    for (let j = i + 1; j < xs.length; j++) if (xs[i] !== xs[j]) slopes.push((ys[j]! - ys[i]!) / (xs[j]! - xs[i]!));
  if (slopes.length === 0) throw new RangeError('all x are equal: a slope needs two different ones');
  slopes.sort((a, b) => a - b);
  const slope = median(slopes);
  const n = xs.length;
  const tied = (values: number[]): number =>
    tieGroups(values).reduce((sum, size) => sum + size * (size - 1) * (2 * size + 5), 0);
  const variance = (n * (n - 1) * (2 * n + 5) - tied(xs) - tied(ys)) / 18;
  const reach = normalQuantile((1 + confidence) / 2) * Math.sqrt(variance);
  const upper = Math.min(Math.round((slopes.length + reach) / 2), slopes.length - 1);
  const lower = Math.max(Math.round((slopes.length - reach) / 2) - 1, 0);
  return { slope, intercept: median(ys) - slope * median(xs), low: slopes[lower]!, high: slopes[upper]! };
}
