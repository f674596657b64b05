import { leastSquares } from './least-squares.ts';
import { finiteList } from './robust-scale.ts';

/** Two straight lines that meet. */
export interface SegmentedLine {
  /** x at which the slope changes, and its standard error. */
  readonly breakAt: number;
  readonly breakError: number;
  readonly slopeLeft: number;
  readonly slopeRight: number;
  /** Of the left line. */
  readonly intercept: number;
  readonly squares: number;
  readonly residualSigma: number;
}

/** Starts tried, as shares of the way through the sorted x. Source: own choice, because the sum of squares has several minima. */
const STARTS = [0.2, 0.35, 0.5, 0.65, 0.8];

/**
 * Least-squares line with one change of slope at an unknown place, by repeated linearisation from several starts.
 *
 * @param x, y finite, as many, at least five
 * @throws {RangeError} if sizes differ, there are too few points, or no start settles within the data
 * Source: V. M. R. Muggeo, Statistics in Medicine 22, 2003; as CRAN package segmented.
 * @example
 * segmentedLine([0, 1, 2, 3, 4, 5, 6, 7], [0, 1.01, 1.99, 3, 5.01, 6.99, 9, 11]).breakAt; // 2.988048
 */
export function segmentedLine(x: ArrayLike<number>, y: ArrayLike<number>): SegmentedLine {
  const xs = finiteList(x, 5);
  const ys = finiteList(y, 5);
  if (xs.length !== ys.length) throw new RangeError(`${xs.length} x and ${ys.length} y: expected as many`);
  const sorted = [...xs].sort((a, b) => a - b);
  let best: SegmentedLine | null = null;
  for (const share of STARTS) {
    const found = settle(xs, ys, sorted, sorted[Math.floor(share * (sorted.length - 1))]!);
    if (found && (best === null || found.squares < best.squares)) best = found;
  }
  if (best === null) throw new RangeError('no change of slope within the data');
  return best;
}

function settle(xs: number[], ys: number[], sorted: readonly number[], start: number): SegmentedLine | null {
  const inside = (at: number): boolean => at > sorted[1]! && at < sorted.at(-2)!;
  let breakAt = start;
  for (let round = 0; round < 200; round++) {
    if (!inside(breakAt)) return null;
    const at = breakAt;
    const rows = xs.map((x) => [1, x, Math.max(0, x - at), x > at ? -1 : 0]);
    const fit = leastSquares(rows, ys);
    const [intercept, slopeLeft, change, gap] = fit.coefficients as unknown as [number, number, number, number];
    if (change === 0) return null;
    const step = gap / change;
    if (Math.abs(step) <= 1e-10 * (sorted.at(-1)! - sorted[0]!)) {
      const residualSigma = Math.sqrt(fit.squares / (xs.length - 4));
      const breakError = (residualSigma * Math.sqrt(fit.unscaledCovariance[15]!)) / Math.abs(change);
      return {
        breakAt,
        breakError,
        slopeLeft,
        slopeRight: slopeLeft + change,
        intercept,
        squares: fit.squares,
        residualSigma,
      };
    }
    // Half steps after a while: a full one may hop to and fro over a data point.
    breakAt += round < 20 ? step : step / 2;
  }
  return null;
}
