import { describe, expect, it } from 'vitest';
import { SHARES } from '../../../analyzer/forecast/hall-ages.ts';
import { chanceWorn, isTimeToTell } from '../../../analyzer/forecast/time-to-tell.ts';

/** Any share between two as likely. */
const between = (from: number, to: number): number[] => {
  const weights: number[] = SHARES.map((share) => (share > from && share < to ? 1 : 0));
  const total = weights.reduce((sum, weight) => sum + weight, 0);
  return weights.map((weight) => weight / total);
};
/** A loss so small at the limit that shares of it and of its logarithm are one. */
const SMALL = 0.01;

/** The least wear since first sight at which it is told. */
function firstWorn(chances: number[], atLimit = SMALL): number {
  for (let worn = 0; worn < 1.2; worn += 0.01) if (isTimeToTell({ chances, worn, sd: 0.05 }, atLimit)) return worn;
  return Number.POSITIVE_INFINITY;
}

describe('an insert of unknown age is told', () => {
  // By hand: spread evenly over more than the window from 0.35 to 0.9 is wide, the chance to hit it is the same wherever the window lies within.
  it('as soon as waiting no longer helps, where any share is as likely', () => {
    // From 0 to 0.8: the window lies within from 0.1 on, and up to 0.35.
    const first = firstWorn(between(0, 0.8));
    expect(first).toBeGreaterThan(0.02);
    expect(first).toBeLessThan(0.2);
  });

  it('once it is within the window, where the age is known', () => {
    const told = firstWorn(between(0, 0.05)) + 0.025;
    expect(told).toBeGreaterThan(0.4);
    expect(told).toBeLessThan(0.65);
  });

  it('the later the newer it was', () => {
    expect(firstWorn(between(0, 0.2))).toBeGreaterThan(firstWorn(between(0.3, 0.5)));
    expect(firstWorn(between(0.5, 0.7))).toBeLessThan(0.05);
  });

  it('at a smaller share of the logarithm where much is lost at the limit', () => {
    expect(firstWorn(between(0, 0.05), 0.7)).toBeLessThan(firstWorn(between(0, 0.05), SMALL) + 0.001);
  });

  it('at once when it is past all', () => {
    expect(isTimeToTell({ chances: between(0.6, 0.8), worn: 0.5, sd: 0.1 }, 0.26)).toBe(true);
  });
});

describe('how likely an insert of unknown age is worn enough', () => {
  // By hand: of shares spread evenly from 0 to 0.8 those beyond 0.35 are 0.45 of 0.8; with 0.15 worn since, 0.6 of 0.8.
  it('is the share of its ages that are past the earliest time', () => {
    expect(chanceWorn({ chances: between(0, 0.8), worn: 0, sd: 0.05 }, SMALL)).toBeCloseTo(0.5625, 2);
    expect(chanceWorn({ chances: between(0, 0.8), worn: 0.15, sd: 0.05 }, SMALL)).toBeCloseTo(0.75, 2);
    expect(chanceWorn({ chances: between(0, 0.8), worn: 0.6, sd: 0.05 }, SMALL)).toBeCloseTo(1, 3);
  });
});
