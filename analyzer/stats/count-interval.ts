import { chiSquaredQuantile } from './chi-squared.ts';
import { findRoot } from './find-root.ts';
import { incompleteBeta } from './incomplete-beta.ts';

/** A value with its confidence limits. */
export interface Estimate {
  readonly value: number;
  readonly low: number;
  readonly high: number;
}

/**
 * Share of successes with its exact (Clopper–Pearson) confidence limits.
 *
 * @param successes whole, 0 to trials
 * @param trials whole, >= 0; without trials the share is NaN and its limits are 0 and 1
 * @param confidence 0 < confidence < 1, default 0.95
 * @throws {RangeError} if a count is no whole number in range or the confidence is out of range
 * Source: C. J. Clopper & E. S. Pearson, Biometrika 26, 1934.
 * @example
 * shareInterval(9, 10); // { value: 0.9, low: 0.5549839, high: 0.9974714 }
 */
export function shareInterval(successes: number, trials: number, confidence = 0.95): Estimate {
  if (!(Number.isInteger(successes) && Number.isInteger(trials) && successes >= 0 && successes <= trials))
    throw new RangeError(`${successes} of ${trials}: expected whole numbers, successes from 0 to trials`);
  const tail = tailOf(confidence);
  if (trials === 0) return { value: Number.NaN, low: 0, high: 1 };
  const failures = trials - successes;
  return {
    value: successes / trials,
    low: successes === 0 ? 0 : findRoot((x) => incompleteBeta(x, successes, failures + 1) - tail, 0, 1, 1e-12),
    high: failures === 0 ? 1 : findRoot((x) => incompleteBeta(x, successes + 1, failures) - (1 - tail), 0, 1, 1e-12),
  };
}

/**
 * Rate of rare events with its exact (Poisson) confidence limits.
 *
 * @param events whole, >= 0
 * @param exposure what the rate refers to, for example gun-years, > 0
 * @param confidence 0 < confidence < 1, default 0.95
 * @returns events per unit of exposure
 * @throws {RangeError} if a number is out of range
 * Source: F. Garwood, Biometrika 28, 1936.
 * @example
 * rateInterval(3, 10); // { value: 0.3, low: 0.0618672, high: 0.8767273 }
 */
export function rateInterval(events: number, exposure: number, confidence = 0.95): Estimate {
  if (!(Number.isInteger(events) && events >= 0 && exposure > 0))
    throw new RangeError(`${events} events in ${exposure}: expected a whole number from 0 and an exposure above 0`);
  const tail = tailOf(confidence);
  return {
    value: events / exposure,
    low: events === 0 ? 0 : chiSquaredQuantile(tail, 2 * events) / 2 / exposure,
    high: chiSquaredQuantile(1 - tail, 2 * events + 2) / 2 / exposure,
  };
}

function tailOf(confidence: number): number {
  if (!(confidence > 0 && confidence < 1))
    throw new RangeError(`confidence ${confidence}: expected 0 < confidence < 1`);
  return (1 - confidence) / 2;
}
