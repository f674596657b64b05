import { describe, expect, it } from 'vitest';
import { bestAge } from '../../../analyzer/life/best-age.ts';
import { ENOUGH_ENDS, lifeStatistics } from '../../../analyzer/life/life-statistics.ts';
import type { Life } from '../../../analyzer/stats/weibull.ts';
import { fixture } from '../../published/fixture.ts';

interface Case {
  readonly name: string;
  readonly time: readonly number[];
  readonly event: readonly number[];
  readonly count?: readonly number[];
  readonly expected: {
    readonly shape_beta: number;
    readonly scale_eta: number;
    readonly mean_life: number;
    readonly B10: { readonly time: number; readonly ci95_normal_on_log: readonly [number, number] };
  };
}

const { cases } = fixture<{ readonly cases: readonly Case[] }>('B-weibull-mle');
const livesOf = ({ time, event, count }: Case): Life[] =>
  time.map((value, index) => ({ time: value, failed: event[index] === 1, count: count?.[index] ?? 1 }));
const life = (time: number, failed = true): Life => ({ time, failed });

describe('life statistics', () => {
  // Source: NIST/SEMATECH 8.4.1.3; Lieblein & Zelen 1956; O'Connor 1985; Abernethy 1983; limits as survreg of R survival.
  for (const row of cases.filter(({ count }) => count === undefined))
    it(`of ${row.name} give the published shape, scale, mean and B10 with its 95 % limits`, () => {
      const { shape, scale, mean, b10 } = lifeStatistics(livesOf(row));
      const { expected } = row;
      expect(shape!.value / expected.shape_beta).toBeCloseTo(1, 6);
      expect(scale!.value / expected.scale_eta).toBeCloseTo(1, 6);
      expect(mean! / expected.mean_life).toBeCloseTo(1, 6);
      expect(b10!.value / expected.B10.time).toBeCloseTo(1, 6);
      expect(b10!.low / expected.B10.ci95_normal_on_log[0]).toBeCloseTo(1, 5);
      expect(b10!.high / expected.B10.ci95_normal_on_log[1]).toBeCloseTo(1, 5);
    });

  it('draw no curve below three ended lives and say what is missing', () => {
    const told = lifeStatistics([life(30), life(50), life(60, false)]);
    expect(told).toMatchObject({ enough: 'too thin', fit: null, b10: null, lives: 3, ended: 2 });
    expect(told.says).toBe(
      '2 lives ended worn or failed of 3: too few for a curve. It needs 3 of different age, and 10 to be gone by.',
    );
    expect(lifeStatistics([life(30), life(50), life(60)]).enough).toBe('thin');
    expect(lifeStatistics([life(30), life(30), life(30)]).enough).toBe('too thin');
    expect(lifeStatistics([]).observed).toEqual([]);
  });

  it('are enough from ten ended lives on', () => {
    const lives = Array.from({ length: ENOUGH_ENDS }, (_, index) => life(40 + 3 * index));
    expect(lifeStatistics(lives).enough).toBe('enough');
    expect(lifeStatistics(lives.slice(1)).enough).toBe('thin');
  });

  it('show what was observed with limits that hold it', () => {
    const { observed } = lifeStatistics([life(1), life(2, false), life(3), life(4)]);
    expect(observed.map(({ time }) => time)).toEqual([1, 3, 4]);
    expect(observed.map(({ share }) => share)).toEqual([0.25, expect.closeTo(0.625, 12), 1]);
    for (const { share, low, high } of observed) {
      expect(low).toBeLessThanOrEqual(share);
      expect(high).toBeGreaterThanOrEqual(share);
    }
  });
});

describe('the best age of a change', () => {
  const wearing = lifeStatistics([life(40), life(45), life(50), life(55), life(60)]);

  it('is that of Barlow and Hunter for the fitted lives', () => {
    // Source: Barlow & Hunter 1960, first case of the fixture: shape 2.5, scale 1000, costs 1 and 5, age 493.
    const fit = { shape: 2.5, scale: 1000, logLikelihood: 0, covariance: [0, 0, 0] as const };
    const told = bestAge({ ...wearing, fit, shape: { value: 2.5, low: 2, high: 3 } }, { planned: 1, failure: 5 });
    expect(told.age).toBeCloseTo(493.0469576, 5);
  });

  it('is left open, in words, without costs, without wear, and where a failure is no dearer', () => {
    expect(bestAge(wearing, null)).toMatchObject({
      age: null,
      says: expect.stringContaining('planned and an unplanned'),
    });
    expect(bestAge(wearing, { planned: 5, failure: 5 }).says).toContain('no more than a planned one');
    // Nearly the same: the best age lies beyond what any part reaches.
    expect(bestAge(wearing, { planned: 99.9, failure: 100 })).toMatchObject({ age: null });
    expect(bestAge(wearing, { planned: 99.9, failure: 100 }).says).toContain('hardly more');
    const early = lifeStatistics([life(1), life(2), life(40), life(100), life(500)]);
    expect(bestAge(early, { planned: 1, failure: 5 }).says).toContain('do not end sooner with age');
    expect(bestAge(lifeStatistics([life(4)]), { planned: 1, failure: 5 }).says).toContain('too few');
  });
});
