import { describe, expect, it } from 'vitest';
import type { ExcessAir } from '../../../analyzer/baseline/excess-air.ts';
import { LEAKS } from '../../../analyzer/baseline/leak-grid.ts';
import { LEVELS } from '../../../analyzer/baseline/level-grid.ts';
import { newUnreadPowder, type UnreadPowder } from '../../../analyzer/baseline/unread-powder.ts';
import { withoutLeak } from '../../../analyzer/diagnose/wear-or-leak.ts';

/** An insert at 20 % (ln 0.182) of excess air, known to 1 %. */
const EXCESS: ExcessAir = {
  neededAir: 2,
  total: () => ({ log: 0.2, sd: 0.01 }),
  ...{ wear: Math.log(1.2), wearSd: 0.01, elasticity: 2 },
};

/** Levels of a gun that leaks with a probability, and whose insert is believed to have lost more (ln output) than inserts do. */
function gun(leaks: number, tooFast: number): UnreadPowder {
  const unread = newUnreadPowder(0.2);
  unread.belief.fill((1 - leaks) / LEVELS, 0, LEVELS);
  unread.belief.fill(leaks / LEVELS / (LEAKS.length - 1), LEVELS);
  unread.wear = { held: 0.2 - tooFast, believed: 0.2 };
  return unread;
}

describe('what an insert has lost where a leak passes for wear', () => {
  it('is what is believed while nothing leaks, or nothing came too fast', () => {
    for (const unread of [gun(0, 0.1), gun(0.9, 0), gun(0.9, -0.1)]) {
      const { wear, wearSd } = withoutLeak(EXCESS, unread);
      expect(wear).toBeCloseTo(EXCESS.wear, 12);
      expect(wearSd).toBeCloseTo(EXCESS.wearSd, 12);
    }
  });

  it('is all but what came too fast once a leak is beyond doubt', () => {
    const { wear, wearSd } = withoutLeak(EXCESS, gun(1, 0.1));
    expect(wear).toBeCloseTo(EXCESS.wear - 0.05, 12);
    expect(wearSd).toBeCloseTo(EXCESS.wearSd, 12);
  });

  // Moments of two cases by hand: 0.05 less with probability 0.4, mean 0.02 less, deviation 0.05 √0.24.
  it('lies between both in mean, with what they differ by in its deviation, while that is open', () => {
    const { wear, wearSd, total } = withoutLeak(EXCESS, gun(0.4, 0.1));
    expect(wear).toBeCloseTo(EXCESS.wear - 0.02, 12);
    expect(wearSd).toBeCloseTo(Math.hypot(0.01, 0.05 * Math.sqrt(0.24)), 12);
    expect(total().log).toBe(0.2);
  });
});
