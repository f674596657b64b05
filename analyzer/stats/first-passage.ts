import { findRoot } from './find-root.ts';
import { logNormalCdf, normalCdf } from './normal.ts';

/** Wear that drifts and diffuses: drift·t + sigma·B(t). */
export interface Wiener {
  /** Way to the limit, > 0. */
  readonly distance: number;
  /** Drift per unit of time, > 0. */
  readonly drift: number;
  /** Standard deviation gathered over one unit of time, > 0. */
  readonly sigma: number;
}

/**
 * Probability that a drifting Wiener process has reached a distance by time t: the inverse Gaussian distribution.
 *
 *   F(t) = Φ((vt - D)/(s√t)) + exp(2vD/s²) Φ(-(vt + D)/(s√t))
 *
 * The second term is summed as logarithms: the exponential alone overflows for strong drift.
 *
 * @param t >= 0, unit of the drift's time
 * @throws {RangeError} if a number is out of range
 * Source: R. S. Chhikara & J. L. Folks, The Inverse Gaussian Distribution, 1989, section 2.1.
 * @example
 * firstPassageCdf({ distance: 10, drift: 0.002, sigma: 0.05 }, 5000); // 0.5684997288
 */
export function firstPassageCdf(process: Wiener, t: number): number {
  const { distance, drift, sigma } = checked(process);
  if (!(t >= 0)) throw new RangeError(`time ${t}: expected 0 or more`);
  if (t === 0) return 0;
  if (t === Number.POSITIVE_INFINITY) return 1;
  const spread = sigma * Math.sqrt(t);
  const reflected = (2 * drift * distance) / sigma ** 2 + logNormalCdf(-(drift * t + distance) / spread);
  return Math.min(1, normalCdf((drift * t - distance) / spread) + Math.exp(reflected));
}

/**
 * Density of the first-passage time.
 *
 * @param t >= 0
 * @throws {RangeError} if a number is out of range
 * Source: R. S. Chhikara & J. L. Folks, The Inverse Gaussian Distribution, 1989, section 2.1.
 * @example
 * firstPassageDensity({ distance: 1, drift: 0.1, sigma: 0.2 }, 10); // 0.0630783131
 */
export function firstPassageDensity(process: Wiener, t: number): number {
  const { distance, drift, sigma } = checked(process);
  if (!(t >= 0)) throw new RangeError(`time ${t}: expected 0 or more`);
  if (t === 0 || t === Number.POSITIVE_INFINITY) return 0;
  const z = (distance - drift * t) / (sigma * Math.sqrt(t));
  return (distance / (sigma * Math.sqrt(2 * Math.PI * t ** 3))) * Math.exp(-0.5 * z * z);
}

/**
 * Time by which a share p of such processes has reached the distance.
 *
 * @param p 0 < p < 1
 * @throws {RangeError} if a number is out of range
 * Source: root of `firstPassageCdf` over the logarithm of time.
 * @example
 * firstPassageQuantile({ distance: 10, drift: 0.002, sigma: 0.05 }, 0.9); // 7343.395876
 */
export function firstPassageQuantile(process: Wiener, p: number): number {
  if (!(p > 0 && p < 1)) throw new RangeError(`probability ${p}: expected 0 < p < 1`);
  const { distance, drift } = checked(process);
  const excess = (logTime: number): number => firstPassageCdf(process, Math.exp(logTime)) - p;
  let low = Math.log(distance / drift);
  let high = low;
  while (excess(low) > 0) low -= 1;
  while (excess(high) < 0) high += 1;
  return Math.exp(low === high ? low : findRoot(excess, low, high, 1e-14));
}

function checked(process: Wiener): Wiener {
  const { distance, drift, sigma } = process;
  // Asked first as one question: this stands in the innermost loop of a forecast.
  if (distance > 0 && drift > 0 && sigma > 0 && distance + drift + sigma < Number.POSITIVE_INFINITY) return process;
  for (const [name, value] of Object.entries(process))
    if (!(value > 0 && value < Number.POSITIVE_INFINITY))
      throw new RangeError(`${name} ${value}: expected a finite number above 0`);
  return process;
}
