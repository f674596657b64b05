import { gammaln } from 'simple-statistics';

const TINY = 1e-300;

/**
 * Regularised incomplete beta function I_x(a, b): the probability that a beta value is at most x.
 *
 * @param x 0 to 1
 * @param a, b shapes, > 0
 * @returns probability, 0 to 1
 * @throws {RangeError} if a number is out of range
 * Source: W. H. Press et al., Numerical Recipes, 3rd ed. 2007, section 6.4 (Lentz's continued fraction).
 * @example
 * incompleteBeta(0.3, 2, 5); // 0.579825
 */
export function incompleteBeta(x: number, a: number, b: number): number {
  if (!(a > 0 && b > 0 && x >= 0 && x <= 1))
    throw new RangeError(`beta function of shapes ${a}, ${b} at ${x}: expected shapes > 0 and 0 <= x <= 1`);
  if (x === 0 || x === 1) return x;
  const front = Math.exp(gammaln(a + b) - gammaln(a) - gammaln(b) + a * Math.log(x) + b * Math.log1p(-x));
  return x < (a + 1) / (a + b + 2) ? (front * fraction(x, a, b)) / a : 1 - (front * fraction(1 - x, b, a)) / b;
}

function fraction(x: number, a: number, b: number): number {
  let c = 1;
  let d = 1 / nonZero(1 - ((a + b) * x) / (a + 1));
  let h = d;
  for (let m = 1; m < 100_000; m++) {
    const even = (m * (b - m) * x) / ((a + 2 * m - 1) * (a + 2 * m));
    d = 1 / nonZero(1 + even * d);
    c = nonZero(1 + even / c);
    h *= d * c;
    const odd = (-(a + m) * (a + b + m) * x) / ((a + 2 * m) * (a + 2 * m + 1));
    d = 1 / nonZero(1 + odd * d);
    c = nonZero(1 + odd / c);
    const step = d * c;
    h *= step;
    if (Math.abs(step - 1) < 1e-16) break;
  }
  return h;
}

function nonZero(value: number): number {
  return Math.abs(value) < TINY ? TINY : value;
}
