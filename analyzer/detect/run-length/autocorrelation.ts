/**
 * How much wider sums of autocorrelated samples spread than sums of independent ones of the same variance: the square root
 * of the long-run variance of a first-order autoregression, sqrt((1 + φ) / (1 - φ)). A negative φ counts as none, which
 * errs on the side of fewer false alarms.
 *
 * @param lagOne correlation φ of neighbouring samples, -1 < φ < 1
 * @returns factor, >= 1
 * @throws {RangeError} if φ is not within -1 < φ < 1
 * Source: G. E. P. Box & G. M. Jenkins, Time Series Analysis, 1976, chapter 3 (long-run variance of an AR(1)).
 * @example
 * longRunFactor(0.5); // 1.732051
 */
export function longRunFactor(lagOne: number): number {
  if (!(lagOne > -1 && lagOne < 1)) throw new RangeError(`lag-one correlation ${lagOne}: expected -1 < φ < 1`);
  const positive = Math.max(0, lagOne);
  return Math.sqrt((1 + positive) / (1 - positive));
}

/**
 * CUSUM limit for autocorrelated samples, from the limit h for independent ones at slack k / s:
 *
 *   h(φ) = s·h - 2φ / (1 - φ), s = sqrt((1 + φ)/(1 - φ))
 *
 * The sum S of an autoregression differs from the random walk S + φ/(1 - φ)·x by a bounded term, which acts at both ends
 * of the climb with the sample x near one standard deviation there. Simulated run lengths are 0 to 20 % above the wanted
 * ones at φ 0.2, and up to 2 times at φ 0.8 (tests/analyzer/detect/autocorrelation.test.ts).
 *
 * @param limit h of independent samples for slack / longRunFactor(φ), standard deviations
 * @param lagOne correlation φ of neighbouring samples, -1 < φ < 1
 * @returns limit for samples with that correlation, standard deviations of one sample, at least one
 * @throws {RangeError} if φ is not within -1 < φ < 1
 * Source: own derivation (martingale of the autoregression), because published tables stop at short run lengths.
 * @example
 * autocorrelatedCusumLimit(5, 0.5); // 6.660254
 */
export function autocorrelatedCusumLimit(limit: number, lagOne: number): number {
  const factor = longRunFactor(lagOne);
  return Math.max(1, factor * limit - (factor * factor - 1));
}

/**
 * The other way round: limit for independent samples that stands for one of autocorrelated samples.
 *
 * @param limit h of samples with that correlation, standard deviations of one sample
 * @param lagOne correlation φ of neighbouring samples, -1 < φ < 1
 * @throws {RangeError} if φ is not within -1 < φ < 1
 * Source: as autocorrelatedCusumLimit.
 * @example
 * independentCusumLimit(5, 0); // 5
 */
export function independentCusumLimit(limit: number, lagOne: number): number {
  const factor = longRunFactor(lagOne);
  return (limit + (factor * factor - 1)) / factor;
}

/**
 * Standard deviation of a settled EWMA of autocorrelated samples of variance 1; the limit is L times this.
 *
 * @param lambda weight of the newest sample, 0 < lambda <= 1
 * @param lagOne correlation φ of neighbouring samples, -1 < φ < 1; negative counts as none
 * @throws {RangeError} if lambda or φ is out of range
 * Source: W. Schmid & A. Schöne, J. Time Series Analysis 18, 1997; L. C. Alwan & H. V. Roberts, JBES 6, 1988. From memory; checked
 * by simulation.
 * @example
 * autocorrelatedEwmaSigma(0.1, 0.5); // 0.3725
 */
export function autocorrelatedEwmaSigma(lambda: number, lagOne: number): number {
  if (!(lambda > 0 && lambda <= 1)) throw new RangeError(`lambda ${lambda}: expected 0 < lambda <= 1`);
  if (!(lagOne > -1 && lagOne < 1)) throw new RangeError(`lag-one correlation ${lagOne}: expected -1 < φ < 1`);
  const carried = Math.max(0, lagOne) * (1 - lambda);
  return Math.sqrt(((lambda / (2 - lambda)) * (1 + carried)) / (1 - carried));
}
