import { median } from 'simple-statistics';
import { leastSquares } from './least-squares.ts';
import { finiteList, medianAndMad } from './robust-scale.ts';

/**
 * Huber's estimate of location with the spread held at the scaled median absolute deviation.
 *
 * @param values finite, at least one
 * @param k standard deviations from which a value counts less; default 1.5
 * @returns centre and the spread used; a spread of 0 gives the median
 * @throws {RangeError} if there is no value or one is not finite
 * Source: P. J. Huber, Ann. Math. Statist. 35, 1964; as huber() of CRAN MASS (Venables & Ripley 2002, section 5.5).
 * @example
 * huberLocation([1, 2, 3, 4, 100]).centre; // 3.055975
 */
export function huberLocation(
  values: ArrayLike<number>,
  k = 1.5,
): { readonly centre: number; readonly spread: number } {
  const list = finiteList(values);
  const { centre: start, spread } = medianAndMad(list);
  if (spread === 0) return { centre: start, spread };
  let centre = start;
  for (let round = 0; round < 500; round++) {
    const low = centre - k * spread;
    const high = centre + k * spread;
    const next = list.reduce((sum, value) => sum + Math.min(high, Math.max(low, value)), 0) / list.length;
    const step = Math.abs(next - centre);
    centre = next;
    if (step <= 1e-12 * spread) break;
  }
  return { centre, spread };
}

/** A robust linear fit. */
export interface RobustFit {
  readonly coefficients: Float64Array;
  /** Robust standard deviation of the residuals. */
  readonly scale: number;
  /** Weight of each observation, 0 to 1. */
  readonly weights: Float64Array;
}

/**
 * Robust regression with Huber's weights, by iterated weighted least squares; the scale is the median absolute
 * residual over 0.6745.
 *
 * @param rows one array of columns an observation; put 1 first for an intercept
 * @param y as many numbers
 * @param k residual in standard deviations from which an observation counts less; default 1.345 (95 % efficiency)
 * @param accuracy relative change of the residuals at which it stops; default 1e-10 (rlm stops at 1e-4)
 * @throws {RangeError} as `leastSquares`
 * Source: rlm() of CRAN MASS (Venables & Ripley 2002, section 6.5), psi.huber with scale.est = "MAD".
 * @example
 * huberRegression([[1, 0], [1, 1], [1, 2], [1, 3], [1, 4], [1, 5]], [0, 1.1, 1.9, 9, 4.1, 4.9]).coefficients; // [0.050533, 0.99516]
 */
export function huberRegression(
  rows: readonly ArrayLike<number>[],
  y: ArrayLike<number>,
  k = 1.345,
  accuracy = 1e-10,
): RobustFit {
  let fit = leastSquares(rows, y);
  const weights = new Float64Array(rows.length).fill(1);
  let scale = residualScale(fit.residuals);
  for (let round = 0; round < 1000 && scale > 0; round++) {
    for (let i = 0; i < weights.length; i++) weights[i] = Math.min(1, (k * scale) / Math.abs(fit.residuals[i]!));
    const next = leastSquares(rows, y, weights);
    const moved = Math.hypot(...next.residuals.map((residual, i) => residual - fit.residuals[i]!));
    const settled = moved <= accuracy * Math.hypot(...fit.residuals);
    fit = next;
    if (settled) break;
    scale = residualScale(fit.residuals);
  }
  return { coefficients: fit.coefficients, scale, weights };
}

/** Median absolute residual over 0.6745, as rlm takes it. */
function residualScale(residuals: Float64Array): number {
  return median(Array.from(residuals, Math.abs)) / RLM_QUARTILE;
}

/** Upper quartile of the normal distribution as rlm rounds it. Source: CRAN MASS, rlm(). */
const RLM_QUARTILE = 0.6745;
