import type { ExcessAir } from '../baseline/excess-air.ts';
import type { LimitBelief } from './change-limit.ts';
import type { LifeSoFar } from './remaining-life.ts';

/** What is believed of the way that an insert has gone: ln of the share of its limit, and its deviation. */
export interface ShareBelief {
  readonly log: number;
  readonly sd: number;
  /** True when past lives that ended worn speak, too. */
  readonly byLives: boolean;
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
 * limitShare({ wear: Math.log(1.1), wearSd: 0 }, { log: Math.log(0.2), sd: 0.2 }, null); // { log: -0.693, sd: 0.2, byLives: false }
 */
export function limitShare(
  { wear, wearSd }: Pick<ExcessAir, 'wear' | 'wearSd'>,
  limit: LimitBelief,
  soFar: LifeSoFar | null,
): ShareBelief {
  const excess = Math.max(Math.expm1(wear), LITTLE);
  const air = { log: Math.log(excess) - limit.log, variance: ((wearSd * (1 + excess)) / excess) ** 2 + limit.sd ** 2 };
  if (soFar === null || !(soFar.clock > 0)) return { log: air.log, sd: Math.sqrt(air.variance), byLives: false };
  const life = { log: Math.log(soFar.clock) - soFar.whole.log, variance: soFar.whole.sd ** 2 + CLOCK_STRAY ** 2 };
  const weight = life.variance / (life.variance + air.variance);
  return {
    log: weight * air.log + (1 - weight) * life.log,
    sd: Math.sqrt((air.variance * life.variance) / (air.variance + life.variance)),
    byLives: true,
  };
}
