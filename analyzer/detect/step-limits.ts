import { BLOCK_HOURS, PROMISE_SHARES, SPRAY_HOURS_A_YEAR } from './promise-shares.ts';
import { independentCusumLimit, longRunFactor } from './run-length/autocorrelation.ts';
import { cusumRunLength } from './run-length/average-run-length.ts';
import { promisedLimit } from './run-length/promise.ts';
import { stepGlrRunLength } from './run-length/step-glr-run-length.ts';

/** Slack of the step charts: their best case is a step of one deviation of a block. Source: own choice, common practice. */
export const STEP_SLACK = 0.5;
/** Step charts on a gun whose alarm may lead to a finding: output (a sum, and a likelihood ratio), ripple, both together. The conveying line's only has its conductance learnt again. */
export const STEP_CHARTS = ['output', 'starts', 'ripple', 'both'] as const;
/** Share of the promise that each of them may use. */
export const STEP_SHARE = PROMISE_SHARES.steps / STEP_CHARTS.length;
/** Blocks of a gun in a year. */
const BLOCKS_PER_YEAR = Math.round(SPRAY_HOURS_A_YEAR / BLOCK_HOURS);
/** Correlation of neighbouring innovations that the nuisance model may leave. Source: own choice, on the safe side of the -0.06 to 0.03 seen on simulated healthy halls; more than that stands for tails that are longer than the normal's. */
export const LAG_ONE = 0.1;

const PROMISE = { share: STEP_SHARE, samplesPerYear: BLOCKS_PER_YEAR };
/** Limits that were reckoned, by the alarms that are accepted; those over starts by window first. */
const sums = new Map<number, number>();
const starts = new Map<number, Map<number, number>>();

function knownLimit(known: Map<number, number>, alarms: number, reckon: () => number): number {
  let limit = known.get(alarms);
  if (limit === undefined) {
    limit = reckon();
    known.set(alarms, limit);
  }
  return limit;
}

/**
 * Limit of a one-sided step chart (CUSUM) that keeps a gun's promise.
 *
 * @param falseAlarmsPerGunYear as the settings state it, > 0
 * @returns h in standard deviations of a block's innovation
 */
export function stepLimit(falseAlarmsPerGunYear: number): number {
  return knownLimit(sums, falseAlarmsPerGunYear, () =>
    promisedLimit(
      { kind: 'cusum', slack: STEP_SLACK, sides: 'one' },
      { falseAlarmsPerYear: falseAlarmsPerGunYear, ...PROMISE },
      { lagOne: LAG_ONE },
    ),
  );
}

/**
 * Limit of a likelihood ratio of losses that may have begun with any of the last blocks.
 *
 * @param falseAlarmsPerGunYear as the settings state it, > 0
 * @param window blocks back to which a start is looked for
 * @returns loss since the likeliest start, in its standard deviations
 * Source: D. Siegmund & E. S. Venkatraman (1995), see stepGlrRunLength; fewer starts than all of the window alarm no oftener.
 */
export function startLimit(falseAlarmsPerGunYear: number, window: number): number {
  let known = starts.get(window);
  if (known === undefined) {
    known = new Map();
    starts.set(window, known);
  }
  return knownLimit(
    known,
    falseAlarmsPerGunYear,
    () =>
      longRunFactor(LAG_ONE) *
      promisedLimit(
        { kind: 'stepGlr', window, sides: 'one' },
        { falseAlarmsPerYear: falseAlarmsPerGunYear, ...PROMISE },
      ),
  );
}

/** Blocks back to which a start of a loss is looked for. Source: own choice, a week of work: then wear has taken the place of a step. */
export const START_WINDOW = 100;

/** Alarms per gun and year of a likelihood ratio over starts with a limit, while nothing steps. */
export function startAlarmsPerYear(limit: number): number {
  return BLOCKS_PER_YEAR / stepGlrRunLength(limit / longRunFactor(LAG_ONE), START_WINDOW, 'one');
}

/** The same of one step chart (CUSUM). */
export function stepAlarmsPerYear(limit: number): number {
  const slack = STEP_SLACK / longRunFactor(LAG_ONE);
  return BLOCKS_PER_YEAR / cusumRunLength({ slack, limit: independentCusumLimit(limit, LAG_ONE) }, 0, 'one');
}
