import { type Estimate, shareInterval } from '../stats/count-interval.ts';

/** One figure with its interval and what it should reach. */
export interface Measure {
  readonly name: string;
  /** Null where there is nothing to measure it on. */
  readonly estimate: Estimate | null;
  readonly unit: 'share' | 'per 1000 spray hours' | 'per gun-year' | 'spray hours' | 'share of life';
  /** What it was measured on, in words. */
  readonly basis: string;
  /** Lowest and highest value wanted; null where nothing is asked. */
  readonly reach: readonly [low: number, high: number] | null;
}

export const atLeast = (low: number): Measure['reach'] => [low, Number.POSITIVE_INFINITY];
export const atMost = (high: number): Measure['reach'] => [Number.NEGATIVE_INFINITY, high];

/** True when a figure reaches what is asked, false when not, null where nothing is asked or measured. */
export function isReached({ estimate, reach }: Measure): boolean | null {
  if (reach === null || estimate === null) return null;
  return estimate.value >= reach[0] && estimate.value <= reach[1];
}

/** The share of some things that count, with its interval. */
export function share<One>(
  name: string,
  all: readonly One[],
  counts: (one: One) => boolean,
  what: string,
  reach: Measure['reach'],
): Measure {
  const hits = all.filter(counts).length;
  const estimate = all.length > 0 ? shareInterval(hits, all.length) : null;
  return { name, estimate, unit: 'share', basis: `${hits} of ${all.length} ${what}`, reach };
}
