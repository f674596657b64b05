import { median } from 'simple-statistics';

/** Factor that turns the median absolute deviation of normal data into a standard deviation. Source: R, mad(): 1.4826. */
export const MAD_TO_SIGMA = 1.4826;

/** A robust centre and the spread about it. */
export interface CentreAndSpread {
  readonly centre: number;
  /** 1.4826 times the median absolute deviation; 0 when more than half of the values are equal. */
  readonly spread: number;
}

/**
 * Median and scaled median absolute deviation.
 *
 * @param values finite, at least one; left untouched
 * @returns centre and spread in the values' unit
 * @throws {RangeError} if there is no value or one is not finite
 * Source: F. R. Hampel, J. Amer. Statist. Assoc. 69, 1974; constant as in R.
 * @example
 * medianAndMad([1, 2, 3, 4, 5, 6, 7, 8, 9, 10]); // { centre: 5.5, spread: 3.7065 }
 */
export function medianAndMad(values: ArrayLike<number>): CentreAndSpread {
  const list = finiteList(values);
  const centre = median(list);
  return { centre, spread: MAD_TO_SIGMA * median(list.map((value) => Math.abs(value - centre))) };
}

/** The values as a list, checked: every statistic here stands on finite numbers. */
export function finiteList(values: ArrayLike<number>, fewest = 1): number[] {
  const list = Array.from(values);
  if (list.length < fewest) throw new RangeError(`${list.length} values: expected at least ${fewest}`);
  const bad = list.findIndex((value) => !Number.isFinite(value));
  if (bad >= 0) throw new RangeError(`value ${bad} is ${list[bad]}: expected a finite number`);
  return list;
}
