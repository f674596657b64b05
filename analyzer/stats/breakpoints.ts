import { findRoot } from './find-root.ts';
import { logNormalCdf } from './normal.ts';
import { finiteList } from './robust-scale.ts';

/** Best segmentation of a series for one number of breaks. */
export interface Segmentation {
  /** Values before each break, ascending. */
  readonly breaks: readonly number[];
  /** Sum of squares about the segments' means. */
  readonly squares: number;
  /** Bayesian information criterion; the segmentation with the lowest is the one to believe. */
  readonly bic: number;
}

/**
 * Least-squares segmentation of a series into stretches of constant mean, for each number of breaks from 0 to `most`.
 *
 * @param values finite, in time order
 * @param most largest number of breaks, default 5; fewer come back when the series is too short
 * @param shortest values that a segment needs; default 15 % of the series
 * @returns one segmentation a number of breaks, index = number of breaks
 * @throws {RangeError} if a value is not finite or a segment would be shorter than one value
 * Source: J. Bai & P. Perron, J. Applied Econometrics 18, 2003; as breakpoints(y ~ 1) of CRAN strucchange.
 * @example
 * breakpoints([1, 1.2, 0.8, 1, 5, 5.2, 4.8, 5], 1, 2)[1].breaks; // [4]
 */
export function breakpoints(
  values: ArrayLike<number>,
  most = 5,
  shortest = Math.floor(0.15 * values.length),
): Segmentation[] {
  const list = finiteList(values);
  const n = list.length;
  if (!(Number.isInteger(shortest) && shortest >= 1))
    throw new RangeError(`segments of ${shortest} values: expected a whole number above 0`);
  const within = segmentSquares(list);
  const bic = (squares: number, breaks: number): number =>
    n * (Math.log(squares / n) + Math.log(2 * Math.PI) + 1) + 2 * (breaks + 1) * Math.log(n);
  const result: Segmentation[] = [{ breaks: [], squares: within(0, n), bic: bic(within(0, n), 0) }];
  // cost[end]: least squares of the first `end` values in `count` + 1 segments; from[count][end]: its last break.
  let cost = Float64Array.from({ length: n + 1 }, (_, end) =>
    end >= shortest ? within(0, end) : Number.POSITIVE_INFINITY,
  );
  const from: Int32Array[] = [];
  for (let count = 1; count <= most && (count + 1) * shortest <= n; count++) {
    const next = new Float64Array(n + 1).fill(Number.POSITIVE_INFINITY);
    const last = new Int32Array(n + 1);
    for (let end = (count + 1) * shortest; end <= n; end++)
      for (let at = count * shortest; at <= end - shortest; at++) {
        const squares = cost[at]! + within(at, end);
        if (squares < next[end]!) {
          next[end] = squares;
          last[end] = at;
        }
      }
    from.push(last);
    cost = next;
    const breaks: number[] = [];
    for (let k = count - 1, end = n; k >= 0; k--) {
      end = from[k]![end]!;
      breaks.unshift(end);
    }
    result.push({ breaks, squares: cost[n]!, bic: bic(cost[n]!, count) });
  }
  return result;
}

/** The F statistic of one break at the best place, and that place. */
export interface SupF {
  readonly f: number;
  /** Values before the break. */
  readonly changeAfter: number;
}

/**
 * Largest F statistic of one change of mean, over all places with at least 15 % of the series on each side.
 *
 * @param values finite, at least seven
 * @throws {RangeError} if there are fewer than seven values or one is not finite
 * Source: D. W. K. Andrews, Econometrica 61, 1993; as Fstats(y ~ 1) of CRAN strucchange.
 * @example
 * supF([1, 1.2, 0.8, 1, 5, 5.2, 4.8, 5]); // { f: 1200, changeAfter: 4 }
 */
export function supF(values: ArrayLike<number>): SupF {
  const list = finiteList(values, 7);
  const [none, one] = breakpoints(list, 1);
  return { f: (none!.squares - one!.squares) / (one!.squares / (list.length - 2)), changeAfter: one!.breaks[0]! };
}

/**
 * Confidence interval of a single break, from the distribution of the place of the maximum of a two-sided Brownian motion
 * whose halves may differ in variance.
 *
 * @param values the series, finite
 * @param breakAfter values before the break, at least two on each side
 * @param confidence 0 < confidence < 1, default 0.95
 * @returns values before the break: the estimate and its limits, whole, within 0 to n
 * @throws {RangeError} if the break leaves fewer than two values on a side or the means do not differ
 * Source: J. Bai, Review of Economics and Statistics 79, 1997; as confint() of CRAN strucchange.
 * @example
 * breakInterval([1, 1.2, 0.8, 1, 5, 5.2, 4.8, 5], 4); // { value: 4, low: 3, high: 5 }
 */
export function breakInterval(
  values: ArrayLike<number>,
  breakAfter: number,
  confidence = 0.95,
): { readonly value: number; readonly low: number; readonly high: number } {
  const list = finiteList(values, 4);
  const n = list.length;
  if (!(breakAfter >= 2 && breakAfter <= n - 2))
    throw new RangeError(`break after ${breakAfter} of ${n} values: expected two on each side`);
  const within = segmentSquares(list);
  const mean = (start: number, end: number): number =>
    list.slice(start, end).reduce((a, b) => a + b, 0) / (end - start);
  const jump = mean(breakAfter, n) - mean(0, breakAfter);
  if (jump === 0) throw new RangeError('the means before and after the break are equal: it has no place');
  const before = within(0, breakAfter) / breakAfter;
  const after = within(breakAfter, n) / (n - breakAfter);
  const ratio = after / before;
  const tail = (1 - confidence) / 2;
  const scale = before / jump ** 2;
  const place = (p: number): number => {
    let reach = 10;
    while (argmaxCdf(reach, ratio) < 1 - tail / 2 || argmaxCdf(-reach, ratio) > tail / 2) reach *= 2;
    return findRoot((x) => argmaxCdf(x, ratio) - p, -reach, reach) * scale;
  };
  return {
    value: breakAfter,
    low: Math.max(0, breakAfter - Math.ceil(place(1 - tail))),
    high: Math.min(n, breakAfter - Math.floor(place(tail))),
  };
}

/** Squared deviations from their mean of values[start..end), from running sums about the overall mean. */
function segmentSquares(list: readonly number[]): (start: number, end: number) => number {
  const centre = list.reduce((sum, value) => sum + value, 0) / list.length;
  const sums = new Float64Array(list.length + 1);
  const squares = new Float64Array(list.length + 1);
  for (const [i, value] of list.entries()) {
    sums[i + 1] = sums[i]! + (value - centre);
    squares[i + 1] = squares[i]! + (value - centre) ** 2;
  }
  return (start, end) => squares[end]! - squares[start]! - (sums[end]! - sums[start]!) ** 2 / (end - start);
}

/** Distribution function of the place of the maximum; `ratio` is the variance after over before. Bai 1997, appendix B. */
function argmaxCdf(x: number, ratio: number): number {
  const a = Math.abs(x);
  const logHalfPi = 0.5 * Math.log(2 * Math.PI);
  if (x < 0) {
    const f = 1 / ratio;
    return (
      -Math.exp(Math.log(a) / 2 - a / 8 - logHalfPi) -
      ((ratio * (ratio + 2)) / (ratio + 1)) *
        Math.exp((f * (1 + f) * a) / 2 + logNormalCdf(-(0.5 + f) * Math.sqrt(a))) +
      (a / 2 - 2 + (ratio + 2) ** 2 / (ratio + 1)) * Math.exp(logNormalCdf(-Math.sqrt(a) / 2))
    );
  }
  const f = 1 / ratio;
  return (
    1 +
    Math.sqrt(f) * (a === 0 ? 0 : Math.exp(Math.log(a) / 2 - (f * a) / 8 - logHalfPi)) +
    (1 / ratio) *
      ((2 * ratio + 1) / (ratio + 1)) *
      Math.exp(((ratio + 1) * a) / 2 + logNormalCdf((-(ratio + 0.5) / Math.sqrt(ratio)) * Math.sqrt(a))) -
    ((2 * ratio + 1) ** 2 / ((ratio + 1) * ratio) - 2 + (f * a) / 2) *
      Math.exp(logNormalCdf((-Math.sqrt(f) * Math.sqrt(a)) / 2))
  );
}
