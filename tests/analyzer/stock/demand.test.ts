import { describe, expect, it } from 'vitest';
import { changesCount } from '../../../analyzer/stock/changes-within.ts';
import { leadTimeDemand, reorderPoint } from '../../../analyzer/stock/lead-time-demand.ts';
import { changeWithin } from '../../../analyzer/stock/time-to-change.ts';

const exponential = (time: number): number => -Math.expm1(-time);
const poisson = (mean: number, count: number): number =>
  Array.from({ length: count }, (_, index) => mean / (index + 1)).reduce(
    (left, right) => left * right,
    Math.exp(-mean),
  );

describe('changes of one part', () => {
  it('are a Poisson process where lives are exponential', () => {
    // Source: W. Feller 1971: the renewal process of exponential lives is the Poisson process.
    const chances = changesCount(exponential, exponential, 3);
    for (let count = 0; count < 10; count++) expect(chances[count]).toBeCloseTo(poisson(3, count), 3);
    expect(chances.reduce((sum, chance) => sum + chance, 0)).toBeCloseTo(1, 12);
  });

  it('are those of Erlang lives: P(N >= k) is the gamma distribution of 2k stages', () => {
    const erlang = (time: number): number => 1 - Math.exp(-time) * (1 + time);
    const chances = changesCount(erlang, erlang, 4);
    // Poisson process of rate 1: N of Erlang-2 lives = floor(Poisson / 2).
    for (let count = 0; count < 6; count++)
      expect(chances[count]).toBeCloseTo(poisson(4, 2 * count) + poisson(4, 2 * count + 1), 3);
  });

  it('are one at most where nothing is known of a new part', () => {
    expect(changesCount(exponential, null, 1)).toEqual(
      [Math.exp(-1), 1 - Math.exp(-1)].map((chance) => expect.closeTo(chance, 12)),
    );
    expect(changesCount(exponential, exponential, 0)).toEqual([1]);
  });
});

describe('the time to a change', () => {
  it('goes through the quantiles of the forecast', () => {
    const air = { from: 'air', p10: 20, p50: 40, p90: 80 } as const;
    expect([20, 40, 80].map((hours) => changeWithin(air, hours))).toEqual(
      [0.1, 0.5, 0.9].map((share) => expect.closeTo(share, 6)),
    );
    expect(changeWithin({ ...air, p10: 0, p50: 0 }, 0)).toBe(1);
    expect(changeWithin({ ...air, p10: 0 }, 80)).toBeCloseTo(0.9, 6);
  });

  it('of an exponential life forgets its age, and of a plan lies close to what is left', () => {
    expect(changeWithin({ from: 'lives', shape: 1, scale: 10, age: 500 }, 10)).toBeCloseTo(1 - Math.exp(-1), 9);
    expect(changeWithin({ from: 'interval', left: 30 }, 20)).toBeLessThan(0.001);
    expect(changeWithin({ from: 'interval', left: 30 }, 45)).toBeGreaterThan(0.999);
    expect(changeWithin({ from: 'interval', left: -2 }, 0)).toBe(1);
  });
});

describe('the demand over the lead time', () => {
  it('is Poisson binomial where each gun changes once at most', () => {
    const part = (gun: string, hours: number) => ({
      gun,
      remaining: { from: 'lives', shape: 1, scale: 1, age: 0 } as const,
      sprayHours: hours,
    });
    const [p, q] = [exponential(0.5), exponential(2)];
    const { chances, expected, unknown } = leadTimeDemand(
      [part('a', 0.5), part('b', 2), { gun: 'c', remaining: null, sprayHours: 3 }],
      null,
    );
    expect(chances).toEqual([(1 - p) * (1 - q), p + q - 2 * p * q, p * q].map((chance) => expect.closeTo(chance, 9)));
    expect(expected).toBeCloseTo(p + q, 9);
    expect(unknown).toEqual(['c']);
  });

  it('orders at the least stock that covers it, on the level and beside it', () => {
    const chances = [0.5, 0.3, 0.15, 0.05];
    expect(reorderPoint(chances, 0.5)).toBe(0);
    expect(reorderPoint(chances, 0.501)).toBe(1);
    expect(reorderPoint(chances, 0.8)).toBe(1);
    expect(reorderPoint(chances, 0.95)).toBe(2);
    expect(reorderPoint(chances, 0.999)).toBe(3);
    expect(() => reorderPoint(chances, 1)).toThrow('service level 1');
  });

  it('of many guns is near the normal sum of their means and variances', () => {
    const fitted = Array.from({ length: 60 }, (_, index) => ({
      gun: `g${index}`,
      remaining: { from: 'lives', shape: 1, scale: 10, age: 0 } as const,
      sprayHours: 5,
    }));
    const { chances, expected } = leadTimeDemand(fitted, { from: 'lives', shape: 1, scale: 10 });
    expect(expected).toBeCloseTo(30, 2);
    // Poisson with mean 30: 95 % lie at 39 or below. Source: cumulative Poisson, P(X <= 39) = 0.9537, P(X <= 38) = 0.9352.
    expect(reorderPoint(chances, 0.95)).toBe(39);
  });
});
