import { describe, expect, it } from 'vitest';
import { type HeldWear, holdWear } from '../../../analyzer/baseline/held-wear.ts';

/** ln of output per spray hour of a usual insert. Source: handbook section 2, a loss of 0.3 in some 50 spray hours. */
const USUAL = 0.006;

/** What came too fast after so many hours at a rate, from what was held before. */
function tooFastAfter(
  hours: number,
  perHour: number,
  usual = USUAL,
  state: HeldWear = { held: 0.05, believed: 0.05 },
): number {
  let tooFast = 0;
  const from = state.believed;
  for (let at = 1; at <= hours * 8; at++) tooFast = holdWear(state, from + (at / 8) * perHour, 1 / 8, usual);
  return tooFast;
}

describe('wear that is held to what inserts can do', () => {
  it('is all of it where an insert wears as inserts do', () => {
    expect(tooFastAfter(30, USUAL)).toBeCloseTo(0, 9);
  });

  it('leaves most of a leak that was taken for wear within a shift', () => {
    expect(tooFastAfter(6, 0.13 / 6)).toBeGreaterThan(0.07);
  });

  it('is all of it where powders wear this gun’s inserts four times as fast', () => {
    expect(tooFastAfter(10, 4 * USUAL, 4 * USUAL)).toBeCloseTo(0, 9);
  });

  it('begins anew with a new insert', () => {
    const state = { held: 0.3, believed: 0.3 };
    expect(holdWear(state, 0, 1 / 8, USUAL)).toBe(0);
    expect(state).toEqual({ held: 0, believed: 0 });
  });
});
