import { findRoot } from './find-root.ts';
import { incompleteBeta } from './incomplete-beta.ts';
import { normalQuantile } from './normal.ts';

/**
 * Probability that a Student t value is at most t.
 *
 * @param t any number
 * @param freedom degrees of freedom, > 0, may be fractional
 * @returns probability, 0 to 1
 * @throws {RangeError} if freedom is not above 0
 * Source: M. Abramowitz & I. A. Stegun, Handbook of Mathematical Functions, 1964, 26.7.1 and 26.5.27.
 * @example
 * studentCdf(2, 10); // 0.963306
 */
export function studentCdf(t: number, freedom: number): number {
  const tail = 0.5 * incompleteBeta(freedom / (freedom + t * t), freedom / 2, 0.5);
  return t > 0 ? 1 - tail : tail;
}

/**
 * Student's t below which a share p of all values lies.
 *
 * @param p probability, 0 < p < 1
 * @param freedom degrees of freedom, > 0
 * @throws {RangeError} if p or freedom is out of range
 * Source: root of `studentCdf`.
 * @example
 * studentQuantile(0.975, 34); // 2.0322445
 */
export function studentQuantile(p: number, freedom: number): number {
  if (!(p > 0 && p < 1)) throw new RangeError(`probability ${p}: expected 0 < p < 1`);
  if (p === 0.5) return 0;
  const tail = Math.min(p, 1 - p);
  let reach = 1 - normalQuantile(tail);
  while (studentCdf(-reach, freedom) > tail) reach *= 2;
  const t = findRoot((x) => Math.log(studentCdf(-x, freedom) / tail), 0, reach);
  return p < 0.5 ? -t : t;
}
