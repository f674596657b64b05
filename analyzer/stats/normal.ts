const LOG_SQRT_2PI = 0.5 * Math.log(2 * Math.PI);

/**
 * Density of the standard normal distribution.
 *
 * @param z in standard deviations; any number
 * @returns density, 0 for infinite z
 * Source: definition.
 * @example
 * normalDensity(0); // 0.3989422804
 */
export function normalDensity(z: number): number {
  return Math.exp(-0.5 * z * z - LOG_SQRT_2PI);
}

/**
 * Probability that a standard normal value is at most z, to double precision in both tails
 * (simple-statistics rounds its argument to a table of two decimals).
 *
 * @param z in standard deviations; NaN gives NaN
 * @returns probability, 0 to 1
 * Source: G. Marsaglia, Evaluating the Normal Distribution, J. Stat. Software 11(4), 2004 (series); Laplace's
 * continued fraction for the tails.
 * @example
 * normalCdf(1.96); // 0.9750021049
 */
export function normalCdf(z: number): number {
  if (z < -SERIES_REACH) return normalDensity(z) * millsRatio(-z);
  if (z > SERIES_REACH) return 1 - normalDensity(z) * millsRatio(z);
  let term = z;
  let sum = z;
  for (let denominator = 3; Math.abs(term) > 1e-18 * Math.abs(sum); denominator += 2) {
    term *= (z * z) / denominator;
    sum += term;
  }
  return 0.5 + sum * normalDensity(z);
}

/**
 * Logarithm of `normalCdf`, finite far into the lower tail where the probability itself is 0 in double precision.
 *
 * @param z in standard deviations
 * @returns log probability, at most 0
 * Source: as `normalCdf`.
 * @example
 * logNormalCdf(-40); // -804.608442
 */
export function logNormalCdf(z: number): number {
  if (z < -SERIES_REACH) return -0.5 * z * z - LOG_SQRT_2PI + Math.log(millsRatio(-z));
  return z > SERIES_REACH ? Math.log1p(-normalDensity(z) * millsRatio(z)) : Math.log(normalCdf(z));
}

/**
 * The standard normal quantile: the z below which a share p of all values lies.
 *
 * @param p probability, 0 < p < 1
 * @returns z in standard deviations
 * @throws {RangeError} if p is not between 0 and 1
 * Source: start value by Abramowitz & Stegun (1964) 26.2.23, brought to double precision by Halley's method on `normalCdf`.
 * @example
 * normalQuantile(0.975); // 1.959963985
 */
export function normalQuantile(p: number): number {
  if (!(p > 0 && p < 1)) throw new RangeError(`probability ${p}: expected 0 < p < 1`);
  if (p === 0.5) return 0;
  const tail = Math.min(p, 1 - p);
  const t = Math.sqrt(-2 * Math.log(tail));
  let z = -(t - (2.515517 + t * (0.802853 + t * 0.010328)) / (1 + t * (1.432788 + t * (0.189269 + t * 0.001308))));
  for (let round = 0; round < 3; round++) {
    const error = normalCdf(z) - tail;
    const newton = error / normalDensity(z);
    z -= newton / (1 + 0.5 * newton * z);
  }
  return p < 0.5 ? z : -z;
}

/** Beyond this |z| the continued fraction takes over. Source: own choice, because both agree to 1e-15 there. */
const SERIES_REACH = 3;

/** (1 - Phi(z)) / phi(z) for z >= 3 by Laplace's continued fraction, evaluated from its far end. */
function millsRatio(z: number): number {
  if (z === Number.POSITIVE_INFINITY) return 0;
  let tail = z;
  for (let k = 100; k >= 1; k--) tail = z + k / tail;
  return 1 / tail;
}
