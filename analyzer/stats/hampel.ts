import { finiteList, medianAndMad } from './robust-scale.ts';

/** A series with its outliers replaced, and where they were. */
export interface Filtered {
  readonly values: number[];
  /** Indices of the replaced values, from 0. */
  readonly outliers: number[];
}

/**
 * Hampel filter: a value farther than `threshold` robust standard deviations from the median of its window is replaced by that
 * median. The first and last `reach` values are left alone. Where the window's spread is 0 (more than half of it equal),
 * any value that differs from the median is an outlier.
 *
 * @param values finite
 * @param reach values on each side that make the window, whole, >= 1
 * @param threshold standard deviations, >= 0; default 3
 * @throws {RangeError} if a value is not finite or reach is no whole number above 0
 * Source: F. R. Hampel 1974; R. K. Pearson, IEEE Trans. Control Systems Tech. 10, 2002; as CRAN pracma::hampel.
 * @example
 * hampel([1, 1.1, 0.9, 5, 1, 1.1, 0.9], 3).outliers; // [3]
 */
export function hampel(values: ArrayLike<number>, reach: number, threshold = 3): Filtered {
  if (!(Number.isInteger(reach) && reach >= 1)) throw new RangeError(`reach ${reach}: expected a whole number above 0`);
  const list = finiteList(values);
  const filtered = [...list];
  const outliers: number[] = [];
  for (let i = reach; i < list.length - reach; i++) {
    const { centre, spread } = medianAndMad(list.slice(i - reach, i + reach + 1));
    if (Math.abs(list[i]! - centre) > threshold * spread) {
      filtered[i] = centre;
      outliers.push(i);
    }
  }
  return { values: filtered, outliers };
}
