/**
 * A control chart of one running statistic s over standardised samples x (mean shift in standard deviations, variance 1):
 *
 *   s' = carry · s + gain · (x - slack)
 *
 * A CUSUM has carry 1 and gain 1; an EWMA has carry 1 - lambda and gain lambda. The chart signals strictly above `high`;
 * at `low` it is either held (`reflecting`) or signals too.
 */
export interface Chart {
  readonly carry: number;
  readonly gain: number;
  readonly slack: number;
  readonly low: number;
  readonly high: number;
  readonly reflecting: boolean;
  readonly start: number;
}

/** One-sided CUSUM: slack k, limit h and head start, all in standard deviations. */
export interface CusumDesign {
  /** Slack (reference value) k. */
  readonly slack: number;
  /** Limit (decision interval) h, > 0. */
  readonly limit: number;
  /** Start value of the statistic, 0 <= head start <= h; default 0. Half the limit is the usual fast initial response. */
  readonly headStart?: number;
}

/** EWMA with weight lambda and limits at L standard deviations of the settled statistic. */
export interface EwmaDesign {
  /** Weight of the newest sample, 0 < lambda <= 1. */
  readonly lambda: number;
  /** L, in standard deviations of the settled EWMA, > 0. */
  readonly limit: number;
  /** 'two' signals on both sides; 'one' signals above only and is held at the target. Default 'two'. */
  readonly sides?: 'one' | 'two';
}

/**
 * The one-sided CUSUM as a chart.
 *
 * @throws {RangeError} if slack is not finite, limit not above 0 or the head start not within 0 to limit
 * Source: E. S. Page, Biometrika 41, 1954; head start: J. M. Lucas & R. B. Crosier, Technometrics 24, 1982.
 * @example
 * cusumChart({ slack: 0.5, limit: 4 }).high; // 4
 */
export function cusumChart({ slack, limit, headStart = 0 }: CusumDesign): Chart {
  if (!Number.isFinite(slack)) throw new RangeError(`slack ${slack}: expected a finite number`);
  checkLimit(limit);
  if (!(headStart >= 0 && headStart <= limit))
    throw new RangeError(`head start ${headStart}: expected 0 to the limit ${limit}`);
  return { carry: 1, gain: 1, slack, low: 0, high: limit, reflecting: true, start: headStart };
}

/**
 * The EWMA as a chart with fixed limits, started at the target.
 *
 * @throws {RangeError} if lambda is not within 0 < lambda <= 1 or limit not above 0
 * Source: J. M. Lucas & M. S. Saccucci, Technometrics 32, 1990.
 * @example
 * ewmaChart({ lambda: 0.1, limit: 2.7 }).high; // 0.619422
 */
export function ewmaChart({ lambda, limit, sides = 'two' }: EwmaDesign): Chart {
  checkLimit(limit);
  const high = limit * settledEwmaSigma(lambda);
  const reflecting = sides === 'one';
  return { carry: 1 - lambda, gain: lambda, slack: 0, low: reflecting ? 0 : -high, high, reflecting, start: 0 };
}

/**
 * Standard deviation of a settled EWMA of independent samples of variance 1: sqrt(lambda / (2 - lambda)).
 *
 * @throws {RangeError} if lambda is not within 0 < lambda <= 1
 * Source: S. W. Roberts, Technometrics 1, 1959.
 * @example
 * settledEwmaSigma(0.3); // 0.420084
 */
export function settledEwmaSigma(lambda: number): number {
  if (!(lambda > 0 && lambda <= 1)) throw new RangeError(`lambda ${lambda}: expected 0 < lambda <= 1`);
  return Math.sqrt(lambda / (2 - lambda));
}

function checkLimit(limit: number): void {
  if (!(limit > 0 && limit < Number.POSITIVE_INFINITY))
    throw new RangeError(`limit ${limit}: expected a finite number above 0`);
}
