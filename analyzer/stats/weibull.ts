import { gammaln } from 'simple-statistics';
import { findRoot } from './find-root.ts';
import type { Limits } from './line-fit.ts';
import { normalQuantile } from './normal.ts';

/** One life, or several of the same length. */
export interface Life {
  /** Time at failure or at the last look, > 0. */
  readonly time: number;
  /** True when it failed then; false when it was still good (right censored). */
  readonly failed: boolean;
  /** How many units this line stands for, default 1. */
  readonly count?: number;
}

/** Weibull distribution fitted by maximum likelihood. */
export interface WeibullFit {
  /** Shape β: below 1 infant failures, 1 random, above 1 wear-out. */
  readonly shape: number;
  /** Characteristic life η, at which 63.2 % have failed, unit of the times. */
  readonly scale: number;
  readonly logLikelihood: number;
  /** Covariance of log(scale) and log(1/shape): var, cov, var. */
  readonly covariance: readonly [number, number, number];
}

/**
 * Weibull distribution of lives with right censoring and grouped counts, by maximum likelihood.
 *
 * @param lives times > 0; at least two different failure times, or one failure and a longer life
 * @throws {RangeError} if a time or count is not above 0 or the shape cannot be found (no failure; all at one time)
 * Source: W. Q. Meeker & L. A. Escobar, Statistical Methods for Reliability Data, 1998, chapter 8; as survreg() of R survival.
 * @example
 * weibullFit([{ time: 10, failed: true }, { time: 20, failed: true }, { time: 30, failed: false }]).scale; // 26.62856
 */
export function weibullFit(lives: readonly Life[]): WeibullFit {
  for (const [index, { time, count = 1 }] of lives.entries())
    if (!(time > 0 && time < Number.POSITIVE_INFINITY && count > 0))
      throw new RangeError(`life ${index}: time ${time}, count ${count}: expected finite numbers above 0`);
  const longest = Math.max(...lives.map(({ time }) => time));
  const failures = lives.reduce((sum, { failed, count = 1 }) => sum + (failed ? count : 0), 0);
  if (failures === 0) throw new RangeError('no life ended in a failure: there is nothing to fit');
  const meanLog =
    lives.reduce((sum, { time, failed, count = 1 }) => sum + (failed ? count * Math.log(time / longest) : 0), 0) /
    failures;
  if (!(meanLog < 0)) throw new RangeError('all failures at the longest time: the shape has no estimate');
  /** Derivative of the profile likelihood in the shape, rising. */
  const score = (shape: number): number => {
    let sum = 0;
    let logs = 0;
    for (const { time, count = 1 } of lives) {
      const power = count * (time / longest) ** shape;
      sum += power;
      logs += power * Math.log(time / longest);
    }
    return logs / sum - 1 / shape - meanLog;
  };
  let high = 1;
  while (score(high) < 0) high *= 2;
  let low = high;
  while (score(low) > 0) low /= 2;
  const shape = low === high ? low : findRoot(score, low, high);
  const powers = lives.reduce((sum, { time, count = 1 }) => sum + count * (time / longest) ** shape, 0);
  const scale = longest * (powers / failures) ** (1 / shape);
  return { shape, scale, ...information(lives, shape, scale) };
}

/**
 * Time by which a share p has failed, with limits that are normal on the log scale: B10 is p = 0.1.
 *
 * @param p 0 < p < 1
 * @param confidence 0 < confidence < 1, default 0.95
 * @throws {RangeError} if p or the confidence is out of range
 * Source: W. Q. Meeker & L. A. Escobar 1998, section 8.4 (delta method).
 * @example
 * weibullQuantile({ shape: 2, scale: 100, logLikelihood: 0, covariance: [0.01, 0, 0.04] }, 0.1); // { value: 32.459285, low: 20.0, high: 52.6 }
 */
export function weibullQuantile(fit: WeibullFit, p: number, confidence = 0.95): Limits {
  if (!(p > 0 && p < 1)) throw new RangeError(`share ${p}: expected 0 < p < 1`);
  const [scaleVariance, covariance, shapeVariance] = fit.covariance;
  const slope = Math.log(-Math.log1p(-p)) / fit.shape;
  const error = Math.sqrt(scaleVariance + 2 * slope * covariance + slope * slope * shapeVariance);
  return onLogScale(fit.scale * Math.exp(slope), error, confidence);
}

/**
 * The shape with limits that are normal on the log scale.
 *
 * @throws {RangeError} if the confidence is out of range
 * Source: W. Q. Meeker & L. A. Escobar 1998, section 8.4.
 * @example
 * weibullShape({ shape: 2, scale: 100, logLikelihood: 0, covariance: [0.01, 0, 0.04] }).high; // 2.95985
 */
export function weibullShape(fit: WeibullFit, confidence = 0.95): Limits {
  return onLogScale(fit.shape, Math.sqrt(fit.covariance[2]), confidence);
}

/**
 * The characteristic life with limits that are normal on the log scale.
 *
 * @throws {RangeError} if the confidence is out of range
 * Source: W. Q. Meeker & L. A. Escobar 1998, section 8.4.
 * @example
 * weibullScale({ shape: 2, scale: 100, logLikelihood: 0, covariance: [0.01, 0, 0.04] }).low; // 82.2
 */
export function weibullScale(fit: WeibullFit, confidence = 0.95): Limits {
  return onLogScale(fit.scale, Math.sqrt(fit.covariance[0]), confidence);
}

/**
 * Mean life η Γ(1 + 1/β).
 *
 * Source: definition.
 * @example
 * weibullMean({ shape: 2, scale: 100 }); // 88.622693
 */
export function weibullMean({ shape, scale }: Pick<WeibullFit, 'shape' | 'scale'>): number {
  return scale * Math.exp(gammaln(1 + 1 / shape));
}

function onLogScale(value: number, error: number, confidence: number): Limits {
  const factor = Math.exp(normalQuantile((1 + confidence) / 2) * error);
  return { value, low: value / factor, high: value * factor };
}

/** Log-likelihood and the inverse of the observed information in log(scale) and log(1/shape), at the maximum. */
function information(
  lives: readonly Life[],
  shape: number,
  scale: number,
): Pick<WeibullFit, 'logLikelihood' | 'covariance'> {
  let logLikelihood = 0;
  let scaleScale = 0;
  let scaleShape = 0;
  let shapeShape = 0;
  for (const { time, failed, count = 1 } of lives) {
    const z = shape * Math.log(time / scale);
    const hazard = Math.exp(z);
    logLikelihood += count * ((failed ? z + Math.log(shape / time) : 0) - hazard);
    scaleScale += count * shape * shape * hazard;
    scaleShape += count * shape * (z * hazard + hazard - (failed ? 1 : 0));
    shapeShape += count * (z * hazard * (1 + z) - (failed ? z : 0));
  }
  const determinant = scaleScale * shapeShape - scaleShape ** 2;
  return {
    logLikelihood,
    covariance: [shapeShape / determinant, -scaleShape / determinant, scaleScale / determinant],
  };
}
