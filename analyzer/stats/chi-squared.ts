import { findRoot } from './find-root.ts';
import { lowerGamma, upperGamma } from './incomplete-gamma.ts';

/**
 * Probability that a chi-squared value exceeds x: the p-value of a chi-squared test.
 *
 * @param x >= 0
 * @param freedom degrees of freedom, > 0
 * @returns probability, 0 to 1
 * @throws {RangeError} if a number is out of range
 * Source: M. Abramowitz & I. A. Stegun, Handbook of Mathematical Functions, 1964, 26.4.19.
 * @example
 * chiSquaredTail(3.841459, 1); // 0.05
 */
export function chiSquaredTail(x: number, freedom: number): number {
  return upperGamma(freedom / 2, x / 2);
}

/**
 * Chi-squared value below which a share p of all values lies.
 *
 * @param p probability, 0 < p < 1
 * @param freedom degrees of freedom, > 0
 * @throws {RangeError} if a number is out of range
 * Source: root of the distribution function.
 * @example
 * chiSquaredQuantile(0.95, 1); // 3.841459
 */
export function chiSquaredQuantile(p: number, freedom: number): number {
  if (!(p > 0 && p < 1)) throw new RangeError(`probability ${p}: expected 0 < p < 1`);
  let high = freedom + 10;
  while (lowerGamma(freedom / 2, high / 2) < p) high *= 2;
  return findRoot((x) => lowerGamma(freedom / 2, x / 2) - p, 0, high);
}
