import { chiSquaredTail } from './chi-squared.ts';
import { normalQuantile } from './normal.ts';
import type { Life } from './weibull.ts';

/** The survival curve after one failure time. */
export interface SurvivalStep {
  readonly time: number;
  readonly atRisk: number;
  readonly failures: number;
  /** Share still good after this time. */
  readonly survival: number;
  /** Greenwood's standard error. */
  readonly error: number;
  readonly log: { readonly low: number; readonly high: number };
  readonly logLog: { readonly low: number; readonly high: number };
}

/**
 * Kaplan–Meier survival curve with Greenwood errors and limits on the log and on the log-log scale.
 *
 * @param lives times >= 0; a life censored at a failure time counts as at risk then
 * @param confidence 0 < confidence < 1, default 0.95
 * @returns one step a failure time, ascending; limits are NaN where the curve has fallen to 0
 * @throws {RangeError} if a time is negative or not finite, or a count not above 0
 * Source: E. L. Kaplan & P. Meier, JASA 53, 1958; limits as survfit() of R survival.
 * @example
 * kaplanMeier([{ time: 1, failed: true }, { time: 2, failed: false }, { time: 3, failed: true }])[0].survival; // 0.6666667
 */
export function kaplanMeier(lives: readonly Life[], confidence = 0.95): SurvivalStep[] {
  checkLives(lives);
  const z = normalQuantile((1 + confidence) / 2);
  let survival = 1;
  let hazardVariance = 0;
  return failureTimes(lives).map((time) => {
    const atRisk = countOf(lives, (life) => life.time >= time);
    const failures = countOf(lives, (life) => life.failed && life.time === time);
    survival *= 1 - failures / atRisk;
    hazardVariance += failures / (atRisk * (atRisk - failures));
    const spread = z * Math.sqrt(hazardVariance);
    const logLogSpread = spread / Math.abs(Math.log(survival));
    return {
      time,
      atRisk,
      failures,
      survival,
      error: survival === 0 ? 0 : survival * Math.sqrt(hazardVariance),
      log: { low: survival * Math.exp(-spread), high: Math.min(1, survival * Math.exp(spread)) },
      logLog: {
        low: survival ** Math.exp(logLogSpread),
        high: survival ** Math.exp(-logLogSpread),
      },
    };
  });
}

/**
 * Time by which a share has failed, by a survival curve; null where the curve does not fall that far.
 *
 * @param steps from `kaplanMeier`
 * @param share 0 < share < 1: 0.5 is the median life
 * Source: as quantile.survfit of R survival, but without averaging over a flat stretch at exactly that height.
 * @example
 * survivalQuantile(kaplanMeier([{ time: 1, failed: true }, { time: 3, failed: true }, { time: 4, failed: true }]), 0.5); // 3
 */
export function survivalQuantile(steps: readonly SurvivalStep[], share: number): number | null {
  return steps.find(({ survival }) => survival <= 1 - share + 1e-12)?.time ?? null;
}

/**
 * Log-rank test of whether two groups live equally long.
 *
 * @returns chi-squared with one degree of freedom and its p-value; 0 and 1 where no failure time tells the groups apart
 * @throws {RangeError} if a time is negative or not finite, or a count not above 0
 * Source: N. Mantel, Cancer Chemotherapy Reports 50, 1966; as survdiff() of R survival.
 * @example
 * logRank([{ time: 1, failed: true }, { time: 2, failed: true }], [{ time: 3, failed: true }, { time: 4, failed: true }]); // { chiSquared: 2.8824, p: 0.08956 }
 */
export function logRank(one: readonly Life[], other: readonly Life[]): { chiSquared: number; p: number } {
  checkLives(one);
  checkLives(other);
  const all = [...one, ...other];
  let excess = 0;
  let variance = 0;
  for (const time of failureTimes(all)) {
    const atRisk = countOf(all, (life) => life.time >= time);
    const failures = countOf(all, (life) => life.failed && life.time === time);
    const share = countOf(one, (life) => life.time >= time) / atRisk;
    excess += countOf(one, (life) => life.failed && life.time === time) - failures * share;
    if (atRisk > 1) variance += (failures * share * (1 - share) * (atRisk - failures)) / (atRisk - 1);
  }
  if (variance === 0) return { chiSquared: 0, p: 1 };
  const chiSquared = (excess * excess) / variance;
  return { chiSquared, p: chiSquaredTail(chiSquared, 1) };
}

function failureTimes(lives: readonly Life[]): number[] {
  return [...new Set(lives.filter(({ failed }) => failed).map(({ time }) => time))].sort((a, b) => a - b);
}

function countOf(lives: readonly Life[], matches: (life: Life) => boolean): number {
  return lives.reduce((sum, life) => sum + (matches(life) ? (life.count ?? 1) : 0), 0);
}

function checkLives(lives: readonly Life[]): void {
  for (const [index, { time, count = 1 }] of lives.entries())
    if (!(time >= 0 && time < Number.POSITIVE_INFINITY && count > 0))
      throw new RangeError(`life ${index}: time ${time}, count ${count}: expected finite numbers, time 0 or more`);
}
