import { promisedLimit } from './run-length/promise.ts';

/** Slack of the step charts: their best case is a step of one deviation of a block. Source: own choice, common practice. */
export const STEP_SLACK = 0.5;
/** Step charts on a gun: output, output with ripple, ripple, conductance; each may use its share of the promise. */
const STEP_CHARTS = 4;
/** The other half of the promise belongs to ramps. Source: own choice. */
const STEP_SHARE = 0.5 / STEP_CHARTS;
/** Blocks of a gun in a year: 8 spray minutes each, 500 spray hours. Source: own choice, one shift at 25 % trigger-on time. */
const BLOCKS_PER_YEAR = 3750;
/** Correlation of neighbouring innovations that the nuisance model leaves. Source: own choice, seen on simulated halls. */
const LAG_ONE = 0.1;

const known = new Map<number, number>();

/**
 * Limit of a one-sided step chart (CUSUM) that keeps a gun's promise.
 *
 * @param falseAlarmsPerGunYear as the settings state it, > 0
 * @returns h in standard deviations of a block's innovation
 */
export function stepLimit(falseAlarmsPerGunYear: number): number {
  let limit = known.get(falseAlarmsPerGunYear);
  if (limit === undefined) {
    limit = promisedLimit(
      { kind: 'cusum', slack: STEP_SLACK, sides: 'one' },
      { falseAlarmsPerYear: falseAlarmsPerGunYear, share: STEP_SHARE, samplesPerYear: BLOCKS_PER_YEAR },
      { lagOne: LAG_ONE },
    );
    known.set(falseAlarmsPerGunYear, limit);
  }
  return limit;
}
