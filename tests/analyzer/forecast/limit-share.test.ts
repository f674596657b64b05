import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { limitShare } from '../../../analyzer/forecast/limit-share.ts';

const LIMIT = { log: Math.log(0.2), sd: 0.2 };
const air = (excess: number, sd: number) => ({ wear: Math.log1p(excess), wearSd: sd });
const life = (share: number, sd = 0.2) => ({ clock: 3 * share, whole: { log: Math.log(3), sd } });

describe('the share of the limit that is used', () => {
  it('is excess air over the limit while no past life is known', () => {
    const share = limitShare(air(0.1, 1e-9), LIMIT, null);
    expect(Math.exp(share.log)).toBeCloseTo(0.5, 6);
    expect(share.sd).toBeCloseTo(0.2, 6);
    expect(share.excess).toBeNull();
  });

  it('says nothing of a clock that has not begun', () => {
    expect(limitShare(air(0.1, 0.02), LIMIT, { clock: 0, whole: { log: 0, sd: 0.2 } })).toEqual(
      limitShare(air(0.1, 0.02), LIMIT, null),
    );
  });

  it('tells the excess air without the limit where air tells it, and with it where lives do', () => {
    const sure = limitShare(air(0.1, 1e-6), LIMIT, life(0.8)).excess!;
    expect(Math.exp(sure.log)).toBeCloseTo(0.1, 4);
    expect(sure.sd).toBeLessThan(1e-4);
    // Air that says nothing leaves the lives' share of the limit: 0.8 of 20 %, as unsure as both and the clock's strays.
    const blind = limitShare(air(0.1, 1e6), LIMIT, life(0.8)).excess!;
    expect(Math.exp(blind.log)).toBeCloseTo(0.16, 4);
    expect(blind.sd).toBeCloseTo(Math.hypot(0.2, 0.2, LIMIT.sd), 4);
  });

  // Source: J. M. Bates & C. W. J. Granger (1969), The combination of forecasts: weights by inverse variances, and a variance below either.
  it('lies between what air and past lives say, nearer to the surer, and surer than either', () => {
    fc.assert(
      fc.property(
        fc.double({ min: 0.03, max: 0.4, noNaN: true }),
        fc.double({ min: 0.005, max: 0.1, noNaN: true }),
        fc.double({ min: 0.1, max: 1.5, noNaN: true }),
        (excess, sd, used) => {
          const alone = limitShare(air(excess, sd), LIMIT, null);
          const both = limitShare(air(excess, sd), LIMIT, life(used));
          expect(both.log).toBeGreaterThanOrEqual(Math.min(alone.log, Math.log(used)) - 1e-9);
          expect(both.log).toBeLessThanOrEqual(Math.max(alone.log, Math.log(used)) + 1e-9);
          expect(both.sd).toBeLessThan(alone.sd);
          const surer = limitShare(air(excess, sd / 2), LIMIT, life(used));
          expect(Math.abs(surer.log - alone.log)).toBeLessThanOrEqual(Math.abs(both.log - alone.log) + 1e-9);
        },
      ),
    );
  });
});
