import type { ExcessAir } from '../baseline/excess-air.ts';
import type { LimitBelief } from './change-limit.ts';
import type { LifeSoFar } from './remaining-life.ts';

/** What is believed of the way that an insert has gone: ln of the share of its limit, and its deviation. */
export interface ShareBelief {
  readonly log: number;
  readonly sd: number;
  /** Where past lives that ended worn speak, too: ln of the excess air that they and the air tell together, and its deviation; else null. */
  readonly excess: { readonly log: number; readonly sd: number } | null;
  /** Only of an insert whose start is not known: whether it is time to tell it, see `isTimeToTell`; reckoned when asked for. */
  readonly tellNow?: () => boolean;
  /** Only of such an insert: chance that it is not too early to change it, see `chanceWorn`; reckoned when asked for. */
  readonly worn?: () => number;
}

/** Excess air below which its logarithm says no more than that there is little of it. Source: own choice, less than a shift does. */
const LITTLE = 0.02;
/**
 * Deviation (ln) by which a life may differ from past ones beyond what those show: another powder, people who change
 * earlier, and air that taught the clock as well. Source: own choice, somewhat less than lives of one gun differ: that is in what they show.
 */
const CLOCK_STRAY = 0.2;

/**
 * How much of its limit an insert has used, from two sources that know little of each other: the excess air against the limit,
 * and what went through it against past lives. Each counts by the inverse of its variance.
 *
 * @param soFar age and past lives; null where the start or every life is unknown: then the air speaks alone
 * Source: J. M. Bates & C. W. J. Granger (1969), The combination of forecasts, Operational Research Quarterly 20(4) 451.
 * @example
 * limitShare({ wear: Math.log(1.1), wearSd: 0 }, { log: Math.log(0.2), sd: 0.2 }, null); // { log: -0.693, sd: 0.2, excess: null }
 */
export function limitShare(
  { wear, wearSd }: Pick<ExcessAir, 'wear' | 'wearSd'>,
  limit: LimitBelief,
  soFar: LifeSoFar | null,
): ShareBelief {
  const excess = Math.max(Math.expm1(wear), LITTLE);
  const read = { log: Math.log(excess), variance: ((wearSd * (1 + excess)) / excess) ** 2 };
  const open = limit.sd ** 2;
  const air = { log: read.log - limit.log, variance: read.variance + open };
  if (soFar === null || !(soFar.clock > 0)) return { log: air.log, sd: Math.sqrt(air.variance), excess: null };
  const life = { log: Math.log(soFar.clock) - soFar.whole.log, variance: soFar.whole.sd ** 2 + CLOCK_STRAY ** 2 };
  const { log, sd } = together(air, life);
  // The limit stands between air and share; between lives and excess it stands the other way.
  return { log, sd, excess: together(read, { log: life.log + limit.log, variance: life.variance + open }) };
}

interface Told {
  readonly log: number;
  readonly variance: number;
}

function together(one: Told, other: Told): { log: number; sd: number } {
  const all = one.variance + other.variance;
  return {
    log: (other.variance * one.log + one.variance * other.log) / all,
    sd: Math.sqrt((one.variance * other.variance) / all),
  };
}
