import { findRoot } from '../../stats/find-root.ts';
import { cusumRunLength, ewmaRunLength } from './average-run-length.ts';

/** What a limit has to keep: the average samples between false alarms. */
export interface FalseAlarmTarget {
  /** Average run length wanted without a change, samples, > 1. */
  readonly samples: number;
  /** Mean of the samples under what counts as no change, standard deviations; default 0. */
  readonly nullMean?: number;
}

/**
 * Limit h of a CUSUM that gives the wanted run length without a change.
 *
 * @param slack k, standard deviations; it has to exceed the null mean, or no finite limit keeps long runs
 * @param sides 'one' or 'two'
 * @returns h, standard deviations
 * @throws {RangeError} if no limit up to 10 000 gives that run length
 * Source: root of cusumRunLength; checked in tests/published/critical-limit.test.ts.
 * @example
 * cusumLimit(0.5, 'two', { samples: 370.4 }); // 4.774897
 */
export function cusumLimit(slack: number, sides: 'one' | 'two', target: FalseAlarmTarget): number {
  return limitFor((limit) => cusumRunLength({ slack, limit }, target.nullMean ?? 0, sides), target.samples);
}

/**
 * Limit L of an EWMA with fixed limits that gives the wanted run length without a change.
 *
 * @param lambda weight of the newest sample
 * @param sides 'one' is held at the target below
 * @returns L, standard deviations of the settled average
 * @throws {RangeError} if no limit gives that run length
 * Source: root of ewmaRunLength; checked in tests/published/critical-limit.test.ts.
 * @example
 * ewmaLimit(0.1, 'two', { samples: 370.4 }); // 2.701461
 */
export function ewmaLimit(lambda: number, sides: 'one' | 'two', target: FalseAlarmTarget): number {
  return limitFor((limit) => ewmaRunLength({ lambda, limit, sides }, target.nullMean ?? 0), target.samples);
}

/** Smallest limit, by doubling and root finding on the logarithm of a run length that rises with it. */
function limitFor(runLength: (limit: number) => number, samples: number): number {
  if (!(samples > 1 && samples < 1e12))
    throw new RangeError(`${samples} samples between false alarms: expected more than 1 and less than 1e12`);
  const excess = (limit: number): number => Math.log(runLength(limit) / samples);
  let low = 0.05;
  let high = 0.1;
  while (excess(high) < 0) {
    low = high;
    high *= 1.5;
    if (high > 1e4) throw new RangeError(`no limit below 10 000 keeps ${samples} samples between false alarms`);
  }
  return findRoot(excess, low, high, 1e-10);
}
