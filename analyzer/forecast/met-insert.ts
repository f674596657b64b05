import { normalCdf, normalQuantile } from '../stats/normal.ts';
import type { ShareBelief } from './limit-share.ts';

/** A gun as it was first seen against the others of its hall. */
export interface FirstSight {
  /** ln of its output at the same air, over an output that is the same for all guns. */
  readonly level: number;
  /** True where the insert is known to have been new, or its loss was taken out: then the level is the gun's own. */
  readonly fresh: boolean;
}

/** What its insert has lost since then, against what it may lose. */
export interface WornSince {
  /** ln of output by which it has worn since first sight, and the deviation of that. */
  readonly worn: number;
  readonly wornSd: number;
  /** ln of output that is lost at the limit, and its relative deviation. */
  readonly atLimit: number;
  readonly limitSd: number;
}

/**
 * Share of its limit that an insert met in a gun has used: any up to this one is as likely, because it is met at any time of its life and people
 * change inserts before the limit. Source: own choice.
 */
const MOST_USED = 0.8;
const SHARES = Array.from({ length: 16 }, (_, i) => (MOST_USED * (i + 0.5)) / 16);
const USUAL = { mean: MOST_USED / 2, variance: MOST_USED ** 2 / 12 };
/**
 * Deviations (ln output) by which new guns of a hall may differ, as likely one as the other before they were seen. Source: own choice: pumps of one
 * make, whose bores are made to a few hundredths of a millimetre, to those of several makes.
 */
const SPREADS = [0.04, 0.06, 0.09, 0.14];
/** What curve, weeks and powders leave open of a level, ln output. Source: own choice. */
const READING_SD = 0.03;
/** Usual loss at the limit, ln output, for guns that are only compared with. Source: 20 % of air at an elasticity of 1.45. */
const USUAL_LIMIT = 1.45 * Math.log(1.2);
/** Least deviation of a share: nothing is known to the digit. Source: own choice. */
const LEAST_SD = 0.02;

/**
 * How much of its limit an insert has used that was there before the first reading: what it had used then, which the other guns of the
 * hall tell as far as new guns are alike there, and what it has worn since. How far new guns differ is learnt from all of them at once.
 *
 * @param own this gun at first sight
 * @param others the other guns; none where nothing can be compared
 * @param at two rising shares at which the answer's chances are exact
 * @returns the log-normal belief that agrees with the one reckoned at both shares of `at`
 * Source: A. Gelman et al., Bayesian Data Analysis, 3rd ed. (2013), chapter 5, hierarchical normal model, its spread averaged over a grid.
 * @example
 * metShare({ level: 0, fresh: false }, [], { worn: 0.1, wornSd: 0, atLimit: 0.4, limitSd: 0 }, [1 / 3, 0.5]).log; // -0.435
 */
export function metShare(
  own: FirstSight,
  others: readonly FirstSight[],
  since: WornSince,
  at: readonly [number, number],
): ShareBelief {
  const used = sharesAtFirstSight(own.level, others, since.atLimit);
  const worn = Math.max(0, since.worn / since.atLimit);
  const sd = Math.max(Math.hypot(since.wornSd / since.atLimit, worn * since.limitSd), LEAST_SD);
  const [low, high] = at.map((share) => {
    const past = used.reduce((sum, weight, i) => sum + weight * normalCdf((SHARES[i]! + worn - share) / sd), 0);
    return normalQuantile(Math.min(Math.max(past, 1e-6), 1 - 1e-6));
  }) as [number, number];
  const [from, to] = [Math.log(at[0]), Math.log(at[1])];
  const spread = Math.min((to - from) / Math.max(low - high, 1e-3), 5);
  return { log: to + high * spread, sd: spread, excess: null };
}

/** Weights of SHARES. */
function sharesAtFirstSight(level: number, others: readonly FirstSight[], atLimit: number): number[] {
  const logs = SPREADS.map((spread) => {
    const { mean, variance, log } = newGuns(others, spread);
    return SHARES.map(
      (share) => log + logDensity(level + share * atLimit - mean, variance + spread ** 2 + READING_SD ** 2),
    );
  });
  const top = Math.max(...logs.flat());
  const weights = SHARES.map((_, i) => logs.reduce((sum, log) => sum + Math.exp(log[i]! - top), 0));
  const total = weights.reduce((sum, weight) => sum + weight, 0);
  return weights.map((weight) => weight / total);
}

/** Level of a new gun, and how well guns that differ so much would explain what was seen. */
function newGuns(others: readonly FirstSight[], spread: number): { mean: number; variance: number; log: number } {
  let precision = UNKNOWN_LEVEL ** -2;
  let sum = 0;
  const guns = others.map(({ level, fresh }) => {
    const used = fresh ? 0 : USUAL_LIMIT;
    const variance = spread ** 2 + READING_SD ** 2 + USUAL.variance * used ** 2;
    precision += 1 / variance;
    sum += (level + USUAL.mean * used) / variance;
    return { level: level + USUAL.mean * used, variance };
  });
  const mean = sum / precision;
  let log = -0.5 * Math.log(precision);
  for (const gun of guns) log += logDensity(gun.level - mean, gun.variance);
  return { mean, variance: 1 / precision, log };
}

/** Deviation of a level that no other gun tells, ln output. Source: own choice, no information. */
const UNKNOWN_LEVEL = 3;

const logDensity = (off: number, variance: number): number => -0.5 * ((off * off) / variance + Math.log(variance));
