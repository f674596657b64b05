/** Points and weights of a quadrature rule: the integral is the weighted sum of f at the points. */
export interface Quadrature {
  readonly points: Float64Array;
  readonly weights: Float64Array;
}

/**
 * Gauss–Legendre rule on an interval, exact for polynomials up to degree 2n - 1.
 *
 * @param count number of points n, whole, >= 1
 * @param low, high ends of the interval, finite
 * @throws {RangeError} if count is no whole number above 0 or an end is not finite
 * Source: W. H. Press et al., Numerical Recipes, 3rd ed. 2007, section 4.6 (Newton on the Legendre recurrence).
 * @example
 * gaussLegendre(2, -1, 1).points; // [-0.577350, 0.577350]
 */
export function gaussLegendre(count: number, low: number, high: number): Quadrature {
  if (!(Number.isInteger(count) && count >= 1))
    throw new RangeError(`${count} points: expected a whole number above 0`);
  if (!(Number.isFinite(low) && Number.isFinite(high)))
    throw new RangeError(`interval ${low} to ${high}: expected finite ends`);
  const points = new Float64Array(count);
  const weights = new Float64Array(count);
  const middle = (low + high) / 2;
  const half = (high - low) / 2;
  for (let i = 0; i < (count + 1) / 2; i++) {
    let z = Math.cos((Math.PI * (i + 0.75)) / (count + 0.5));
    let slope = 0;
    for (let round = 0; round < 100; round++) {
      let p = 1;
      let below = 0;
      for (let j = 1; j <= count; j++) [p, below] = [((2 * j - 1) * z * p - (j - 1) * below) / j, p];
      slope = (count * (z * p - below)) / (z * z - 1);
      const step = p / slope;
      z -= step;
      if (Math.abs(step) < 1e-15) break;
    }
    points[i] = middle - half * z;
    points[count - 1 - i] = middle + half * z;
    weights[i] = (2 * half) / ((1 - z * z) * slope * slope);
    weights[count - 1 - i] = weights[i]!;
  }
  return { points, weights };
}
