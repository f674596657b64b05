import { isPartId } from '../../collector/contract/index.ts';
import { type Estimate, rateInterval } from '../stats/count-interval.ts';
import { studentQuantile } from '../stats/student.ts';
import type { JudgedDue } from './judge-due.ts';
import type { JudgedFinding } from './judge-finding.ts';

/** What one set of settings would have told, counted. */
export interface Tally {
  readonly inTime: number;
  readonly late: number;
  readonly missed: number;
  /** Findings against a part by verdict. */
  readonly right: number;
  readonly falseAlarms: number;
  readonly unknown: number;
  readonly open: number;
  readonly gunYears: number;
  /** False alarms against a part per gun and calendar year, Poisson interval of 95 %; null without exposure. */
  readonly falsePerGunYear: Estimate | null;
  /** Spray hours of warning, mean over all parts found worn (0 where missed), Student interval of 95 %; null without any. */
  readonly warningSprayHours: Estimate | null;
}

const YEAR_MS = 365.25 * 24 * 3_600_000;

/**
 * Counts what was told of parts.
 *
 * @param gunMs calendar time that was watched, summed over guns, ms
 */
export function tallyOf(findings: readonly JudgedFinding[], due: readonly JudgedDue[], gunMs: number): Tally {
  const parts = findings.filter(({ finding }) => isPartId(finding.cause));
  const verdicts = (verdict: JudgedFinding['verdict']): number => parts.filter((one) => one.verdict === verdict).length;
  const told = (how: JudgedDue['told']): number => due.filter((one) => one.told === how).length;
  const gunYears = gunMs / YEAR_MS;
  const falseAlarms = verdicts('false');
  return {
    inTime: told('in-time'),
    late: told('late'),
    missed: told('missed'),
    right: verdicts('right'),
    falseAlarms,
    unknown: verdicts('unknown'),
    open: verdicts('open'),
    gunYears,
    falsePerGunYear: gunYears > 0 ? rateInterval(falseAlarms, gunYears) : null,
    warningSprayHours: meanInterval(due.map(({ leadSprayHours }) => leadSprayHours)),
  };
}

/** Mean and its Student interval of 95 %, not below 0; the interval is open above where one value alone is known. */
function meanInterval(values: readonly number[]): Estimate | null {
  const count = values.length;
  if (count === 0) return null;
  const value = values.reduce((sum, one) => sum + one, 0) / count;
  if (count === 1) return { value, low: 0, high: Number.POSITIVE_INFINITY };
  const variance = values.reduce((sum, one) => sum + (one - value) ** 2, 0) / (count - 1);
  const reach = studentQuantile(0.975, count - 1) * Math.sqrt(variance / count);
  return { value, low: Math.max(0, value - reach), high: value + reach };
}
