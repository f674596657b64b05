import { finiteList } from './robust-scale.ts';
import { studentQuantile } from './student.ts';

/** Least-squares line with what its uncertainties need. */
export interface LineFit {
  readonly slope: number;
  readonly slopeError: number;
  /** 0 for a line through the origin. */
  readonly intercept: number;
  readonly interceptError: number;
  readonly residualSigma: number;
  readonly rSquared: number;
  readonly freedom: number;
  /** Count, mean and sum of squares about it of x; a line through the origin has mean 0 and an endless count. */
  readonly count: number;
  readonly meanX: number;
  readonly squaresX: number;
}

/** A value with its limits. */
export interface Limits {
  readonly value: number;
  readonly low: number;
  readonly high: number;
}

/**
 * Least-squares line y = intercept + slope·x with standard errors (simple-statistics gives the line only).
 *
 * @param x, y finite, as many, at least three, with two different x
 * @throws {RangeError} if sizes differ, there are too few points, or all x are equal
 * Source: N. R. Draper & H. Smith, Applied Regression Analysis, 3rd ed. 1998, chapter 1; certified by NIST StRD Norris.
 * @example
 * lineFit([0, 1, 2, 3], [1, 3, 5, 8]).slope; // 2.3
 */
export function lineFit(x: ArrayLike<number>, y: ArrayLike<number>): LineFit {
  const { xs, ys } = points(x, y, 3);
  const n = xs.length;
  const meanX = xs.reduce((sum, value) => sum + value, 0) / n;
  const meanY = ys.reduce((sum, value) => sum + value, 0) / n;
  const fit = slopeThrough(xs, ys, meanX, meanY, n - 2);
  return {
    ...fit,
    intercept: meanY - fit.slope * meanX,
    interceptError: fit.residualSigma * Math.sqrt(1 / n + meanX ** 2 / fit.squaresX),
    count: n,
    meanX,
  };
}

/**
 * Least-squares line through the origin y = slope·x with the slope's standard error.
 *
 * @param x, y finite, as many, at least two, x not all 0
 * @throws {RangeError} if sizes differ, there are too few points, or all x are 0
 * Source: N. R. Draper & H. Smith, Applied Regression Analysis, 3rd ed. 1998, section 1.2; R², as R does, about 0.
 * @example
 * lineThroughOrigin([1, 2, 3], [2, 4, 7]).slope; // 2.214286
 */
export function lineThroughOrigin(x: ArrayLike<number>, y: ArrayLike<number>): LineFit {
  const { xs, ys } = points(x, y, 2);
  const fit = slopeThrough(xs, ys, 0, 0, xs.length - 1);
  return { ...fit, intercept: 0, interceptError: 0, count: Number.POSITIVE_INFINITY, meanX: 0 };
}

/**
 * Value of a line at x with limits: of the mean line, or of one new observation.
 *
 * @param fit from `lineFit` or `lineThroughOrigin`
 * @param of 'mean' or 'observation'
 * @param confidence 0 < confidence < 1, default 0.95
 * @throws {RangeError} if the confidence is out of range
 * Source: N. R. Draper & H. Smith, Applied Regression Analysis, 3rd ed. 1998, section 3.1.
 * @example
 * predictLine(lineFit([0, 1, 2, 3], [1, 3, 5, 8]), 4, 'mean'); // { value: 10, low: 7.959073, high: 12.040927 }
 */
export function predictLine(fit: LineFit, x: number, of: 'mean' | 'observation', confidence = 0.95): Limits {
  const value = fit.intercept + fit.slope * x;
  const share = 1 / fit.count + (x - fit.meanX) ** 2 / fit.squaresX + (of === 'observation' ? 1 : 0);
  const reach = studentQuantile((1 + confidence) / 2, fit.freedom) * fit.residualSigma * Math.sqrt(share);
  return { value, low: value - reach, high: value + reach };
}

/**
 * Where a line crosses a level, with Fieller's limits: the pattern of "time to a wear limit".
 *
 * @param fit from `lineFit` or `lineThroughOrigin`
 * @param level y, finite
 * @param confidence 0 < confidence < 1, default 0.95
 * @returns x and its limits, or null when the slope does not differ from 0 at this confidence: then nothing honest can be said
 * @throws {RangeError} if the confidence is out of range
 * Source: E. C. Fieller, J. R. Statist. Soc. B 16, 1954; N. R. Draper & H. Smith 1998, section 3.2.
 * @example
 * lineCrossing(lineFit([0, 1, 2, 3], [1, 3, 5, 8]), 10); // { value: 4, low: 3.310520, high: 5.275995 }
 */
export function lineCrossing(fit: LineFit, level: number, confidence = 0.95): Limits | null {
  const t = studentQuantile((1 + confidence) / 2, fit.freedom);
  const g = (t * fit.slopeError) ** 2 / fit.slope ** 2;
  if (!(g < 1)) return null;
  const value = (level - fit.intercept) / fit.slope;
  const off = value - fit.meanX;
  const reach =
    ((t * fit.residualSigma) / Math.abs(fit.slope)) * Math.sqrt(off ** 2 / fit.squaresX + (1 - g) / fit.count);
  return { value, low: fit.meanX + (off - reach) / (1 - g), high: fit.meanX + (off + reach) / (1 - g) };
}

function points(x: ArrayLike<number>, y: ArrayLike<number>, fewest: number): { xs: number[]; ys: number[] } {
  const xs = finiteList(x, fewest);
  const ys = finiteList(y, fewest);
  if (xs.length !== ys.length) throw new RangeError(`${xs.length} x and ${ys.length} y: expected as many`);
  return { xs, ys };
}

function slopeThrough(xs: number[], ys: number[], x0: number, y0: number, freedom: number) {
  let squaresX = 0;
  let products = 0;
  let squaresY = 0;
  for (const [i, x] of xs.entries()) {
    squaresX += (x - x0) ** 2;
    products += (x - x0) * (ys[i]! - y0);
    squaresY += (ys[i]! - y0) ** 2;
  }
  if (!(squaresX > 0)) throw new RangeError('all x are equal: a slope needs two different ones');
  const slope = products / squaresX;
  const squares = xs.reduce((sum, x, i) => sum + (ys[i]! - y0 - slope * (x - x0)) ** 2, 0);
  const residualSigma = Math.sqrt(squares / freedom);
  const rSquared = squaresY === 0 ? 1 : 1 - squares / squaresY;
  return { slope, slopeError: residualSigma / Math.sqrt(squaresX), residualSigma, rSquared, freedom, squaresX };
}
