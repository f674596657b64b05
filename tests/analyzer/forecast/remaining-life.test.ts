import fc from 'fast-check';
import { quantile } from 'simple-statistics';
import { describe, expect, it } from 'vitest';
import { addQuantity, resetQuantity } from '../../../analyzer/baseline/gaussian-state.ts';
import { emptyPumpPool, type PumpPool } from '../../../analyzer/baseline/pump-pool.ts';
import { PRIORS } from '../../../analyzer/baseline/pump-priors.ts';
import { newRegulatorStop } from '../../../analyzer/baseline/regulator-stop.ts';
import { RUN_SCATTER } from '../../../analyzer/baseline/run-scatter.ts';
import { type Interval, medianOf, remainingLife, wayLeft } from '../../../analyzer/forecast/remaining-life.ts';
import { firstPassageQuantile } from '../../../analyzer/stats/first-passage.ts';
import { normalCdf } from '../../../analyzer/stats/normal.ts';
import { seededNormal } from '../../seeded-normal.ts';

interface Told {
  readonly wear?: number;
  readonly wearSd?: number;
  /** Loss per unit of wear clock. */
  readonly rate?: number;
  readonly rateSd?: number;
  readonly limit?: number;
  readonly limitSd?: number;
  readonly clockPerHour?: number;
}

function poolWith({ wear = 0.1, wearSd = 0.02, rate = 0.07, rateSd = 0.01 }: Told): PumpPool {
  const pool = emptyPumpPool();
  const { gaussian } = pool;
  const add = (mean: number, sd: number): number => addQuantity(gaussian, mean, sd ** 2);
  resetQuantity(gaussian, pool.rate, rate, rateSd ** 2);
  const nothing = add(0, 1e-6);
  pool.guns['gun-01'] = {
    level: nothing,
    elasticity: nothing,
    bend: nothing,
    wear: add(wear, wearSd),
    gunRate: add(0, 1e-6),
    lifeRate: add(0, 1e-6),
    pace: { through: 0, hours: 0 },
    shift: nothing,
    week: nothing,
    leak: nothing,
    powders: {},
    time: 0,
    recipe: 5,
    unrest: 1,
    scatter: RUN_SCATTER.first,
    pooled: 0,
    hidden: 0.0144,
    odd: 0,
    unread: false,
    flow: 2,
    practice: { weight: 0, flow: 0, supplementary: 0, variance: 0, covariance: 0 },
    setpoint: false,
    unanswered: false,
    losses: { traces: [], since: [], blocks: [] },
    gain: 0,
    proof: null,
    calm: null,
    watch: null,
    stop: newRegulatorStop(),
  };
  return pool;
}

function lifeOf(told: Told = {}): Interval {
  const { limit = 0.3, limitSd = 0.02, clockPerHour = 0.1 } = told;
  return remainingLife(wayLeft(poolWith(told), 'gun-01', limit, limitSd, clockPerHour)!);
}

/** Diffusion of wear over one spray hour at the bench's clock of 0.1. */
const SIGMA = Math.sqrt((PRIORS.wearStray ** 2 / PRIORS.usualLife) * PRIORS.rate.mean * 0.1);

/** One first passage drawn at random. Source: J. R. Michael, W. R. Schucany & R. W. Haas (1976), American Statistician 30, 88. */
function passageTime(distance: number, drift: number, sigma: number, normal: () => number): number {
  const mean = distance / drift;
  const shape = (distance / sigma) ** 2;
  const square = normal() ** 2;
  const root =
    mean +
    ((mean * square) / (2 * shape)) * mean -
    (mean / (2 * shape)) * Math.sqrt(4 * mean * shape * square + (mean * square) ** 2);
  // The second root with the rest of the probability; a normal draw's tail stands in for a uniform one.
  return normalCdf(normal()) <= mean / (mean + root) ? root : (mean * mean) / root;
}

const width = ({ p10, p90 }: Interval): number => p90 - p10;

describe('remaining life', () => {
  it('is the way that is left over the wear of an hour where both are sure', () => {
    const sure = { wearSd: 1e-6, rateSd: 1e-6, limitSd: 1e-6 };
    expect(lifeOf({ ...sure, wear: 0.1, limit: 0.3, rate: 0.07, clockPerHour: 0.1 }).p50).toBeCloseTo(0.2 / 0.007, 0);
  });

  it('has its tenth below its half and that below its nine tenths while there is a way to go', () => {
    const told = fc.record({
      wear: fc.double({ min: 0, max: 0.2, noNaN: true }),
      wearSd: fc.double({ min: 0.005, max: 0.1, noNaN: true }),
      rate: fc.double({ min: 0, max: 0.2, noNaN: true }),
      rateSd: fc.double({ min: 0.005, max: 0.05, noNaN: true }),
      limitSd: fc.double({ min: 0.005, max: 0.1, noNaN: true }),
      clockPerHour: fc.double({ min: 0.01, max: 1, noNaN: true }),
    });
    fc.assert(
      fc.property(told, (given) => {
        const { p10, p50, p90 } = lifeOf(given);
        expect(p10).toBeGreaterThanOrEqual(0);
        expect(p10).toBeLessThan(p50);
        expect(p50).toBeLessThan(p90);
        expect(Number.isFinite(p90)).toBe(true);
      }),
    );
  });

  it('is 0 from end to end once the limit lies far behind', () => {
    expect(lifeOf({ wear: 0.6, limit: 0.3 })).toEqual({ p10: 0, p50: 0, p90: 0 });
  });

  it('has its half at 0 just beyond the limit and above 0 just before it', () => {
    expect(lifeOf({ wear: 0.32, limit: 0.3 }).p50).toBe(0);
    expect(lifeOf({ wear: 0.28, limit: 0.3 }).p50).toBeGreaterThan(0);
  });

  it.each([
    ['the wear so far', 'wearSd'],
    ['the rate', 'rateSd'],
    ['the limit', 'limitSd'],
  ] as const)('has a narrower interval where %s is surer', (_what, key) => {
    expect(width(lifeOf({ [key]: 0.005 }))).toBeLessThan(width(lifeOf({ [key]: 0.04 })));
  });

  it('shrinks with wear and with what goes through in an hour, and grows with the limit', () => {
    const { p50 } = lifeOf();
    expect(lifeOf({ wear: 0.15 }).p50).toBeLessThan(p50);
    expect(lifeOf({ clockPerHour: 0.2 }).p50).toBeCloseTo(p50 / 2, 9);
    expect(lifeOf({ limit: 0.4 }).p50).toBeGreaterThan(p50);
  });

  it('stays finite for a rate that is believed to be nothing or less', () => {
    for (const rate of [0, -0.1]) expect(Number.isFinite(lifeOf({ rate }).p90)).toBe(true);
  });

  it('is unknown for a gun that the pool does not know', () => {
    expect(wayLeft(emptyPumpPool(), 'gun-09', 0.3, 0.02, 0.1)).toBeNull();
  });

  it.each([0, -1, Number.NaN])('is unknown where %f goes through in an hour, and known just above none', (clock) => {
    expect(wayLeft(poolWith({}), 'gun-01', 0.3, 0.02, clock)).toBeNull();
    expect(wayLeft(poolWith({}), 'gun-01', 0.3, 0.02, 1e-9)).not.toBeNull();
  });

  // With all that is uncertain made sure, what is left is the diffusion of wear: inverse Gaussian (reference values of tests/published).
  it('is the first passage of drift plus noise where rate, wear and limit are sure', () => {
    const sure = { wear: 0.1, limit: 0.3, wearSd: 1e-6, rateSd: 1e-6, limitSd: 1e-6, rate: 0.2, clockPerHour: 0.1 };
    const { p10, p50, p90 } = lifeOf(sure);
    const sigma = Math.sqrt((PRIORS.wearStray ** 2 / PRIORS.usualLife) * PRIORS.rate.mean * 0.1);
    // The rate itself strays on the way by what PRIORS allow, which widens the passage a little.
    for (const [value, share] of [
      [p10, 0.1],
      [p50, 0.5],
      [p90, 0.9],
    ] as const) {
      const passage = firstPassageQuantile({ distance: 0.2, drift: 0.02, sigma }, share);
      expect(Math.abs(Math.log(value / passage))).toBeLessThan(0.06);
    }
  });

  describe('asked only whether its middle has moved', () => {
    const way = wayLeft(poolWith({}), 'gun-01', 0.3, 0.02, 0.1)!;
    const { p50 } = remainingLife(way);

    it.each([-0.5, -0.11, -0.09, -0.01, 0, 0.01, 0.09, 0.11, 0.5])(
      'agrees with the middle itself, %f from it',
      (share) => {
        const near = p50 * (1 + share);
        const middle = medianOf(way, near, 0.1 * near);
        const moved = Math.abs(p50 - near) >= 0.1 * near;
        expect(Math.abs(middle - near) >= 0.1 * near).toBe(moved);
        if (moved) expect(middle).toBe(p50);
      },
    );
  });

  describe('with past lives', () => {
    const told = { wear: 0.15, wearSd: 0.06, limitSd: 0.06, rateSd: 0.02 };
    const withPast = (whole: number, clock = 2): Interval =>
      remainingLife(
        wayLeft(poolWith(told), 'gun-01', 0.3, told.limitSd, 0.1, {
          clock,
          whole: { log: Math.log(whole), sd: 0.25 },
        })!,
      );

    it('is narrower than from the signal alone', () => {
      expect(width(withPast(4))).toBeLessThan(0.8 * width(lifeOf(told)));
    });

    it('is longer where inserts lasted longer, and shorter for an older one', () => {
      expect(withPast(5).p50).toBeGreaterThan(withPast(3.5).p50);
      expect(withPast(4, 3).p50).toBeLessThan(withPast(4, 2).p50);
    });

    it('follows the signal where no past life agrees with it', () => {
      expect(withPast(0.01).p50).toBeCloseTo(lifeOf(told).p50, 6);
    });
  });

  // The grid against the same model drawn at random: way normal, wear of an hour log-normal.
  it.each([
    { wear: 0.1, wearSd: 0.02, rateSd: 0.012 },
    { wear: 0.2, wearSd: 0.03, rateSd: 0.015 },
    { wear: 0.02, wearSd: 0.015, rateSd: 0.02 },
  ])('has the quantiles of a hundred thousand lives drawn at random: $wear ± $wearSd', (told) => {
    const normal = seededNormal(7);
    const way = 0.3 - told.wear;
    const waySd = Math.hypot(told.wearSd, 0.02);
    // Own choice of the forecast: the rate strays by 0.02 over a usual life of 0.3.
    const rateSd = Math.sqrt(told.rateSd ** 2 + 0.02 ** 2 * Math.min(1, way / 0.3)) / 0.07;
    const drawn = Array.from({ length: 100_000 }, () => {
      const left = Math.max(0, way + waySd * normal());
      const drift = 0.007 * Math.exp(rateSd * normal());
      return left === 0 ? 0 : passageTime(left, drift, SIGMA, normal);
    });
    const { p10, p50, p90 } = lifeOf(told);
    const within = (value: number, share: number): void => {
      // Nine levels by nine: the grid may be off by one level of either.
      expect(value).toBeGreaterThan(quantile(drawn, share - 0.04));
      expect(value).toBeLessThan(quantile(drawn, share + 0.04));
    };
    within(p10, 0.1);
    within(p50, 0.5);
    within(p90, 0.9);
  });
});
