import { changesCount } from './changes-within.ts';
import { changeWithin, type Remaining, weibullWithin } from './time-to-change.ts';

/** One fitted part of the kind that is ordered. */
export interface FittedPart {
  readonly gun: string;
  /** Null where nothing tells when it will have to go. */
  readonly remaining: Remaining | null;
  /** Spray hours that its gun will do in the lead time. */
  readonly sprayHours: number;
}

/** Life of a new part of this kind. */
export type NewLife =
  | { readonly from: 'lives'; readonly shape: number; readonly scale: number }
  | { readonly from: 'interval'; readonly sprayHours: number };

/** What the shop will need of one kind of part over the lead time. */
export interface Demand {
  readonly expected: number;
  /** Probability of each number of changes, from 0 on. */
  readonly chances: readonly number[];
  /** Guns whose part tells nothing of when it will have to go; they are not in the figures. */
  readonly unknown: readonly string[];
}

/**
 * Changes of one kind of part on all guns over the lead time: the sum of independent counts, by convolution (with one change
 * a gun at most this is the Poisson binomial distribution).
 *
 * @param next life of a new part; null where none is known
 * Source: W. Feller, An Introduction to Probability Theory I, 1968, sections IX.5 and XI.2 (sums of independent variables).
 */
export function leadTimeDemand(fitted: readonly FittedPart[], next: NewLife | null): Demand {
  let chances = [1];
  for (const { remaining, sprayHours } of fitted) {
    if (remaining === null) continue;
    const count = changesCount((time) => changeWithin(remaining, time), next && newWithin(next), sprayHours);
    chances = sumOf(chances, count);
  }
  return {
    expected: chances.reduce((sum, chance, count) => sum + chance * count, 0),
    chances,
    unknown: fitted.filter(({ remaining }) => remaining === null).map(({ gun }) => gun),
  };
}

/**
 * Stock at which to order: the least number that covers the demand over the lead time with the chosen probability.
 *
 * @param serviceLevel probability of not running out before the order comes, 0 < level < 1
 * @throws {RangeError} if the level is out of range
 * Source: E. A. Silver, D. F. Pyke & R. Peterson, Inventory Management and Production Planning and Scheduling, 1998,
 * section 7.7 (P1 service level), from memory.
 * @example
 * reorderPoint([0.5, 0.3, 0.15, 0.05], 0.95); // 2
 */
export function reorderPoint(chances: readonly number[], serviceLevel: number): number {
  if (!(serviceLevel > 0 && serviceLevel < 1)) throw new RangeError(`service level ${serviceLevel}: expected 0 to 1`);
  let covered = 0;
  for (const [count, chance] of chances.entries()) {
    covered += chance;
    // The sum of many chances may fall short of a level such as 0.95 in its last binary place only.
    if (covered >= serviceLevel - 1e-12) return count;
  }
  return chances.length - 1;
}

function newWithin(life: NewLife): (time: number) => number {
  return life.from === 'lives'
    ? (time) => weibullWithin(life.shape, life.scale, 0, time)
    : (time) => changeWithin({ from: 'interval', left: life.sprayHours }, time);
}

function sumOf(one: readonly number[], other: readonly number[]): number[] {
  const sum = new Array<number>(one.length + other.length - 1).fill(0);
  for (const [i, p] of one.entries()) for (const [j, q] of other.entries()) sum[i + j]! += p * q;
  while (sum.length > 1 && sum.at(-1)! < 1e-12) sum.pop();
  return sum;
}
