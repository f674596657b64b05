import { longRunFactor } from './run-length/autocorrelation.ts';
import { promisedLimit } from './run-length/promise.ts';

/** Slack of the step charts: their best case is a step of one deviation of a block. Source: own choice, common practice. */
export const STEP_SLACK = 0.5;
/** Step charts on a gun: output (a sum, and a likelihood ratio), output with ripple, ripple, conductance; each may use its share of the promise. */
const STEP_CHARTS = 5;
/** The other half of the promise belongs to ramps. Source: own choice. */
const STEP_SHARE = 0.5 / STEP_CHARTS;
/** Blocks of a gun in a year: 8 spray minutes each, 500 spray hours. Source: own choice, one shift at 25 % trigger-on time. */
const BLOCKS_PER_YEAR = 3750;
/** Correlation of neighbouring innovations that the nuisance model leaves. Source: own choice, seen on simulated halls. */
const LAG_ONE = 0.1;

const PROMISE = { share: STEP_SHARE, samplesPerYear: BLOCKS_PER_YEAR };
const known = new Map<string, number>();

function knownLimit(key: string, reckon: () => number): number {
  let limit = known.get(key);
  if (limit === undefined) {
    limit = reckon();
    known.set(key, limit);
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
  return knownLimit(`sum ${falseAlarmsPerGunYear}`, () =>
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
  return knownLimit(
    `starts ${falseAlarmsPerGunYear} ${window}`,
    () =>
      longRunFactor(LAG_ONE) *
      promisedLimit(
        { kind: 'stepGlr', window, sides: 'one' },
        { falseAlarmsPerYear: falseAlarmsPerGunYear, ...PROMISE },
      ),
  );
}
