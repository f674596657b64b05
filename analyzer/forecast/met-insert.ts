import { normalCdf, normalQuantile } from '../stats/normal.ts';
import { type HallAges, hallAges, type MetInsert, type Moments, SHARES, USUAL_LIMIT } from './hall-ages.ts';
import type { ShareBelief } from './limit-share.ts';
import { chanceWorn, isTimeToTell } from './time-to-tell.ts';

/** A gun as it was first seen against the others of its hall. */
export interface FirstSight {
  /** ln of its output at the same air, over an output that is the same for all guns: as it was at first sight, or since with an insert that is known to be new. */
  readonly level: number;
  readonly insert: MetInsert;
}

/** What its insert has lost since then, against what it may lose. */
export interface WornSince {
  /** ln of output by which it has worn since first sight, and the deviation of that. */
  readonly worn: number;
  readonly wornSd: number;
  /** ln of output that is lost at the limit, and its relative deviation. */
  readonly atLimit: number;
  readonly limitSd: number;
  /** ln of the share of the limit that it had used at first sight, by the time since it was new, with its deviation; null where nobody knows when it was. */
  readonly used: { readonly log: number; readonly sd: number } | null;
}

/**
 * Deviations (ln output) by which new guns of a hall may differ, as likely one as the other before they were seen. Source: own choice: pumps of one
 * make, whose bores are made to a few hundredths of a millimetre, to those of several makes.
 */
const SPREADS = [0.04, 0.06, 0.09, 0.14];
/** What curve, weeks and powders leave open of a level, ln output. Source: own choice. */
const READING_SD = 0.03;
/** Least deviation of a share: nothing is known to the digit. Source: own choice. */
const LEAST_SD = 0.02;

/**
 * How much of its limit an insert has used that was there before the first reading: what it had used then, which the other guns of the
 * hall tell as far as new guns are alike there and as their inserts' ages go together, and what it has worn since. How far new guns differ is
 * learnt from all of them at once.
 *
 * @param level of this gun at first sight
 * @param others the other guns; none where nothing can be compared
 * @param at two rising shares at which the answer's chances are exact
 * @returns the log-normal belief that agrees with the one reckoned at both shares of `at`
 * Source: A. Gelman et al., Bayesian Data Analysis, 3rd ed. (2013), chapter 5, hierarchical normal model, its spread averaged over a grid.
 * @example
 * metShare(0, [], { worn: 0.1, wornSd: 0, atLimit: 0.4, limitSd: 0, used: null }, [1 / 3, 0.5]).log; // -0.582
 */
export function metShare(
  level: number,
  others: readonly FirstSight[],
  since: WornSince,
  at: readonly [number, number],
): ShareBelief {
  const chances = sharesAtFirstSight(level, others, since.atLimit, since.used);
  const worn = Math.max(0, since.worn / since.atLimit);
  const sd = Math.max(Math.hypot(since.wornSd / since.atLimit, worn * since.limitSd), LEAST_SD);
  const [low, high] = at.map((share) => {
    const past = chances.reduce((sum, weight, i) => sum + weight * normalCdf((SHARES[i]! + worn - share) / sd), 0);
    return normalQuantile(Math.min(Math.max(past, 1e-6), 1 - 1e-6));
  }) as [number, number];
  const [from, to] = [Math.log(at[0]), Math.log(at[1])];
  const spread = Math.min((to - from) / Math.max(low - high, 1e-3), 5);
  const used = { chances, worn, sd };
  let isTime: boolean | null = null;
  return {
    ...{ log: to + high * spread, sd: spread, excess: null },
    // Asked for every setting that is tried, and alike for all.
    tellNow: () => {
      isTime ??= isTimeToTell(used, since.atLimit);
      return isTime;
    },
    worn: () => chanceWorn(used, since.atLimit),
  };
}

/** Chances of SHARES. */
function sharesAtFirstSight(
  level: number,
  others: readonly FirstSight[],
  atLimit: number,
  used: WornSince['used'],
): number[] {
  const ways = hallAges(others.map(({ insert }) => insert));
  const logs = ways.flatMap((way) =>
    SPREADS.map((spread) => {
      const { mean, variance, log } = newGuns(others, way, spread);
      return { way, mean, log: way.log + log, variance: variance + spread ** 2 + READING_SD ** 2 };
    }),
  );
  // The best that each can be is at no deviation: what is far below the best of all needs no reckoning.
  const top = Math.max(...logs.map(({ log, variance }) => log - 0.5 * Math.log(variance)));
  // Where the log says when it was new it need not be as old as others are.
  const dated = used === null ? null : byCalendar(used);
  const weights = SHARES.map(() => 0);
  for (const { way, mean, log, variance } of logs) {
    const scale = Math.exp(log - 0.5 * Math.log(variance) - top);
    for (let i = 0; i < weights.length; i++) {
      const chance = dated?.[i] ?? way.chances[i]!;
      if (chance < 1e-9) continue;
      weights[i] =
        weights[i]! + scale * chance * Math.exp((-0.5 * (level + SHARES[i]! * atLimit - mean) ** 2) / variance);
    }
  }
  const total = weights.reduce((sum, weight) => sum + weight, 0);
  // A level that nothing explains tells nothing.
  return total > 0 ? weights.map((weight) => weight / total) : [...ways[0]!.chances];
}

/** Chances of SHARES by the time since it was new; one that was used up by then is still in as seldom as any. */
const byCalendar = ({ log, sd }: { readonly log: number; readonly sd: number }): number[] =>
  SHARES.map((share) => Math.exp(-0.5 * ((Math.log(share) - log) / sd) ** 2) / share);

/** Level of a new gun, and how well guns that differ so much, with inserts so old, would explain what was seen. */
function newGuns(
  others: readonly FirstSight[],
  { stillIn }: HallAges,
  spread: number,
): { mean: number; variance: number; log: number } {
  let precision = UNKNOWN_LEVEL ** -2;
  let sum = 0;
  const guns = others.map(({ level }, place) => {
    const { mean, variance: open } = stillIn[place] ?? NOTHING_USED;
    const variance = spread ** 2 + READING_SD ** 2 + open * USUAL_LIMIT ** 2;
    const fresh = level + mean * USUAL_LIMIT;
    precision += 1 / variance;
    sum += fresh / variance;
    return { fresh, variance };
  });
  const mean = sum / precision;
  let log = -0.5 * Math.log(precision);
  for (const { fresh, variance } of guns) log -= 0.5 * ((fresh - mean) ** 2 / variance + Math.log(variance));
  return { mean, variance: 1 / precision, log };
}

const NOTHING_USED: Moments = { mean: 0, variance: 0 };
/** Deviation of a level that no other gun tells, ln output. Source: own choice, no information. */
const UNKNOWN_LEVEL = 3;
