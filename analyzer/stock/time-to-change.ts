import { normalCdf } from '../stats/normal.ts';

/** What is known of when a fitted part will have to go. Spray hours of its gun. */
export type Remaining =
  /** A finding asks for it now: how sure it is of this part. */
  | { readonly from: 'finding'; readonly probability: number }
  /** From the air: the interval of the forecast. */
  | { readonly from: 'air'; readonly p10: number; readonly p50: number; readonly p90: number }
  /** From life statistics: the Weibull distribution of such lives, and how old this one is. */
  | { readonly from: 'lives'; readonly shape: number; readonly scale: number; readonly age: number }
  /** From the interval at which it is changed in time. */
  | { readonly from: 'interval'; readonly left: number };

/** Half the width, as a normal quantile, between the tenth and the ninetieth per cent. */
const Z90 = 1.2815515655446004;
/** Spread of a change by plan around its interval, as a share of what is left. Source: own choice, because a plan is kept to about a shift in ten. */
const PLAN_SPREAD = 0.1;

/**
 * Probability that a fitted part has to be changed within so many spray hours.
 *
 * From a finding: as sure as it is of the part, whenever. From the air: log-normal through the forecast's quantiles. From lives: Weibull, given that it has lived so long,
 * 1 − R(age + h)/R(age). From the interval: close to what is left of it.
 *
 * @param hours spray hours from now, >= 0
 * @returns 0 to 1, rising with `hours`
 * @example
 * changeWithin({ from: 'lives', shape: 1, scale: 50, age: 30 }, 50); // 0.6321206
 */
export function changeWithin(remaining: Remaining, hours: number): number {
  if (remaining.from === 'finding') return remaining.probability;
  if (remaining.from === 'lives') return weibullWithin(remaining.shape, remaining.scale, remaining.age, hours);
  const { middle, spread } =
    remaining.from === 'air'
      ? { middle: remaining.p50, spread: spreadOf(remaining) }
      : { middle: remaining.left, spread: PLAN_SPREAD };
  if (middle <= 0) return 1;
  if (hours <= 0) return 0;
  return normalCdf(Math.log(hours / middle) / spread);
}

/** 1 − R(age + h)/R(age) of a Weibull distribution. */
export function weibullWithin(shape: number, scale: number, age: number, hours: number): number {
  return -Math.expm1((age / scale) ** shape - ((age + hours) / scale) ** shape);
}

/** Deviation of ln(hours) of a forecast; from its upper half where the lower reaches 0. */
function spreadOf({ p10, p50, p90 }: { readonly p10: number; readonly p50: number; readonly p90: number }): number {
  const spread = p10 > 0 ? Math.log(p90 / p10) / (2 * Z90) : Math.log(p90 / p50) / Z90;
  return Math.max(spread, 0.01);
}
