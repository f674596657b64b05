import { describe, expect, it } from 'vitest';
import { wearBeyond } from '../../../analyzer/detect/ramp-limits.ts';
import { chancePast, isWearDue, NOT_BEFORE, SHARE, SURETY, wearDueAt } from '../../../analyzer/diagnose/wear-due.ts';
import { limitShare } from '../../../analyzer/forecast/limit-share.ts';

const LIMIT = { log: Math.log(0.2), sd: 0.28 };
const TUNABLES = { smallestChange: 0.05, falseAlarmsPerGunYear: 0.3 };
/** A share that past lives speak for, too: what they leave open of the excess is less than of the share, by the limit. */
const share = (of: number, sd: number) => ({ log: Math.log(of), sd, excess: { log: Math.log(of * 0.2), sd: sd / 2 } });
const air = (excess: number, wearSd = 0.02) => ({ wear: Math.log1p(excess), wearSd });

/** The least share, in hundredths, that is told when past lives speak, too. */
function firstTold(sd: number): number {
  for (let of = 1; of <= 300; of++)
    if (isWearDue(share(of / 100, sd), LIMIT, air((of / 100) * 0.2), TUNABLES)) return of / 100;
  return Number.POSITIVE_INFINITY;
}

/** The least excess air, in thousandths, that is told when the air alone speaks. */
function firstByAir(limit: number, wearSd: number, tunables = TUNABLES): number {
  const belief = { log: Math.log(limit), sd: 0.28 };
  for (let at = 1; at <= 600; at++) {
    const excess = air(at / 1000, wearSd);
    if (isWearDue(limitShare(excess, belief, null), belief, excess, tunables)) return at / 1000;
  }
  return Number.POSITIVE_INFINITY;
}

describe('an insert is told as worn', () => {
  it('just past half of its limit when all is known', () => {
    expect(firstTold(0.01)).toBeCloseTo(SHARE + 0.01, 2);
  });

  it('later the less is known, but well before the limit', () => {
    const told = [0.1, 0.2, 0.3].map((sd) => firstTold(sd));
    expect(told).toEqual([...told].sort((a, b) => a - b));
    expect(told[2]).toBeLessThan(0.7);
  });

  it('never while its likeliest excess is below a third of the limit, whatever past lives say', () => {
    expect(isWearDue(share(0.9, 0.1), LIMIT, air(0.99 * NOT_BEFORE * 0.2), TUNABLES)).toBe(false);
  });

  it('by its air alone no sooner than the promised false alarms allow', () => {
    const first = firstByAir(0.1, 0.02);
    expect(Math.log1p(first) - Math.log1p(0.05)).toBeGreaterThan(wearBeyond(0.3, 0.05, 0.02));
    expect(first).toBeGreaterThan(0.9 * 0.1);
    expect(firstByAir(0.1, 0.02, { ...TUNABLES, falseAlarmsPerGunYear: 5 })).toBeLessThan(first);
  });

  it('never from air that may mean anything: nearly three times the air, or none more', () => {
    const excess = air(1.9, 0.9);
    const told = limitShare(excess, LIMIT, null);
    expect(isWearDue(told, LIMIT, excess, TUNABLES)).toBe(false);
    expect(isWearDue({ ...told, tellNow: () => true }, LIMIT, excess, TUNABLES)).toBe(false);
    expect(isWearDue(limitShare(air(1.9, 0.1), LIMIT, null), LIMIT, air(1.9, 0.1), TUNABLES)).toBe(true);
  });

  it('not from an excess that air and past lives together cannot tell from the smallest change', () => {
    const past = share(0.7, 0.1);
    const excess = air(0.14);
    expect(isWearDue(past, LIMIT, excess, TUNABLES)).toBe(true);
    const hardly = { ...past, excess: { log: Math.log(0.07), sd: 0.2 } };
    expect(isWearDue(hardly, LIMIT, excess, TUNABLES)).toBe(false);
    expect(isWearDue(hardly, LIMIT, excess, { ...TUNABLES, smallestChange: 0.04 })).toBe(true);
  });

  it('with an unknown age when the time is best, however wide the belief, but not before a third of the limit', () => {
    for (const now of [true, false]) {
      const met = { ...share(0.6, 0.7), excess: null, tellNow: () => now };
      expect(isWearDue(met, LIMIT, air(0.12), TUNABLES)).toBe(now);
      expect(isWearDue(met, LIMIT, air(0.99 * NOT_BEFORE * 0.2), TUNABLES)).toBe(false);
    }
  });

  it('with an unknown age not while the 10 % point of its excess, which is shown, is not worth a visit', () => {
    const met = { ...share(0.6, 0.7), excess: null, tellNow: () => true };
    const lowest = (sd: number): number => Math.expm1(Math.log1p(0.05) + 1.2816 * sd);
    expect(isWearDue(met, LIMIT, air(lowest(0.06) + 0.001, 0.06), TUNABLES)).toBe(true);
    expect(isWearDue(met, LIMIT, air(lowest(0.06) - 0.001, 0.06), TUNABLES)).toBe(false);
    expect(isWearDue(met, LIMIT, air(lowest(0.06) - 0.001, 0.06), { ...TUNABLES, smallestChange: 0.04 })).toBe(true);
  });
});

it('the chance to be past a share falls with the share and is one half at the likeliest', () => {
  expect(chancePast(share(0.5, 0.3), 0.5)).toBeCloseTo(0.5, 9);
  expect(chancePast(share(0.5, 0.3), 0.4)).toBeGreaterThan(chancePast(share(0.5, 0.3), 0.6));
});

it.each([0.01, 0.02, 0.03])('what follows from settings is what the decision does, deviation %f', (sd) => {
  for (const limit of [0.1, 0.15, 0.2, 0.3]) {
    const { byLimit, byChange } = wearDueAt(limit, sd, TUNABLES);
    expect(Math.max(byLimit, byChange) / firstByAir(limit, sd)).toBeCloseTo(1, 1);
  }
  for (const surety of [SURETY.byAir, SURETY.byLives]) expect(surety).toBeGreaterThan(0.5);
  expect(SURETY.byAir).toBeGreaterThan(SURETY.byLives);
});
