import type { Quadrature } from './gauss-legendre.ts';

/**
 * Gauss–Hermite rule for the standard normal distribution: the expectation of f(Z) is the weighted sum of f at the points.
 *
 * @param count number of points n, whole, 1 to 60; exact for polynomials up to degree 2n - 1
 * @returns points in standard deviations, ascending, and weights that sum to 1
 * @throws {RangeError} if count is out of range
 * Source: roots of the probabilists' Hermite polynomials by bisection between those of the one below (interlacing);
 * weights n! / (n He(n-1))²; M. Abramowitz & I. A. Stegun, Handbook of Mathematical Functions, 1964, 25.4.46.
 * @example
 * gaussHermite(3).points; // [-1.7320508, 0, 1.7320508]
 */
export function gaussHermite(count: number): Quadrature {
  if (!(Number.isInteger(count) && count >= 1 && count <= 60))
    throw new RangeError(`${count} points: expected a whole number from 1 to 60`);
  let roots = [0];
  for (let degree = 2; degree <= count; degree++) {
    const edge = Math.sqrt(4 * degree + 2);
    const fences = [-edge, ...roots, edge];
    roots = Array.from({ length: degree }, (_, i) => rootBetween(degree, fences[i]!, fences[i + 1]!));
  }
  const points = Float64Array.from(roots);
  const weights = points.map((point) => 1 / (count * orthonormal(count - 1, point) ** 2));
  return { points, weights };
}

/** Hermite polynomial of the probabilists, scaled by 1/√(degree!), so that it is orthonormal under the normal density. */
function orthonormal(degree: number, x: number): number {
  let value = 1;
  let below = 0;
  for (let k = 1; k <= degree; k++) [value, below] = [(x * value - Math.sqrt(k - 1) * below) / Math.sqrt(k), value];
  return value;
}

function rootBetween(degree: number, low: number, high: number): number {
  const sign = Math.sign(orthonormal(degree, high));
  let a = low;
  let b = high;
  for (let round = 0; round < 100 && b - a > 1e-15; round++) {
    const middle = (a + b) / 2;
    if (Math.sign(orthonormal(degree, middle)) === sign) b = middle;
    else a = middle;
  }
  return (a + b) / 2;
}
