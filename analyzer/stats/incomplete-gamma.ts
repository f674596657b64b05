import { gammaln } from 'simple-statistics';

const TINY = 1e-300;

/**
 * Regularised lower incomplete gamma function P(a, x): the probability that a gamma value of shape a and scale 1 is at most x.
 *
 * @param a shape, > 0
 * @param x >= 0
 * @returns probability, 0 to 1
 * @throws {RangeError} if a or x is out of range
 * Source: W. H. Press et al., Numerical Recipes, 3rd ed. 2007, section 6.2 (series and Lentz's continued fraction).
 * @example
 * lowerGamma(2, 3); // 0.8008517265
 */
export function lowerGamma(a: number, x: number): number {
  if (!(a > 0 && x >= 0)) throw new RangeError(`gamma function of shape ${a} at ${x}: expected shape > 0, x >= 0`);
  if (x === 0) return 0;
  if (x === Number.POSITIVE_INFINITY) return 1;
  return x < a + 1 ? series(a, x) : 1 - fraction(a, x);
}

/**
 * Regularised upper incomplete gamma function Q(a, x) = 1 - P(a, x), to full relative precision in the upper tail.
 *
 * @param a shape, > 0
 * @param x >= 0
 * @returns probability, 0 to 1
 * @throws {RangeError} if a or x is out of range
 * Source: as `lowerGamma`.
 * @example
 * upperGamma(0.5, 50); // 1.5239706e-23
 */
export function upperGamma(a: number, x: number): number {
  if (!(a > 0 && x >= 0)) throw new RangeError(`gamma function of shape ${a} at ${x}: expected shape > 0, x >= 0`);
  if (x === 0) return 1;
  if (x === Number.POSITIVE_INFINITY) return 0;
  return x < a + 1 ? 1 - series(a, x) : fraction(a, x);
}

function front(a: number, x: number): number {
  return Math.exp(a * Math.log(x) - x - gammaln(a));
}

function series(a: number, x: number): number {
  let term = 1 / a;
  let sum = term;
  for (let n = 1; term > 1e-17 * sum; n++) {
    term *= x / (a + n);
    sum += term;
  }
  return sum * front(a, x);
}

function fraction(a: number, x: number): number {
  let b = x + 1 - a;
  let c = 1 / TINY;
  let d = 1 / b;
  let h = d;
  for (let i = 1; i < 100_000; i++) {
    const an = -i * (i - a);
    b += 2;
    d = 1 / nonZero(an * d + b);
    c = nonZero(b + an / c);
    const step = c * d;
    h *= step;
    if (Math.abs(step - 1) < 1e-16) break;
  }
  return h * front(a, x);
}

function nonZero(value: number): number {
  return Math.abs(value) < TINY ? TINY : value;
}
