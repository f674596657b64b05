import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { type FirstSight, metShare } from '../../../analyzer/forecast/met-insert.ts';
import { normalCdf } from '../../../analyzer/stats/normal.ts';

const AT = [1 / 3, 1 / 2] as const;
const NOTHING_WORN = { worn: 0, wornSd: 0, atLimit: 0.3, limitSd: 0 };
const seen = (level: number, fresh = false): FirstSight => ({ level, fresh });
const alike = (level: number, fresh: boolean, guns: number): FirstSight[] =>
  Array.from({ length: guns }, (_, i) => seen(level + (i % 2 === 0 ? 0.01 : -0.01), fresh));
/** Chance that more than a share of the limit is used. */
const past = ({ log, sd }: { log: number; sd: number }, share: number): number =>
  normalCdf((log - Math.log(share)) / sd);

describe('the share that an insert has used which was there at the first reading', () => {
  // Any share up to 0.8 is as likely: of 16 steps of 0.05 those beyond a half are six, those beyond a third nine and a part.
  it('is any while no other gun tells', () => {
    const share = metShare(seen(0), [], NOTHING_WORN, AT);
    expect(past(share, 0.5)).toBeCloseTo(6 / 16, 2);
    expect(past(share, 1 / 3)).toBeCloseTo(0.8 / 0.8 - 1 / 3 / 0.8, 1);
  });

  it('moves on by what has worn since, against what may wear', () => {
    const share = metShare(seen(0), [], { ...NOTHING_WORN, worn: 0.09 }, AT);
    expect(past(share, 0.5)).toBeCloseTo((0.8 - 0.2) / 0.8, 1);
  });

  it('is large where guns that are alike when new give more, and small where they give as much', () => {
    const worn = metShare(seen(-0.21), alike(0, true, 7), NOTHING_WORN, AT);
    const sound = metShare(seen(0), alike(0, true, 7), NOTHING_WORN, AT);
    expect(past(worn, 0.5)).toBeGreaterThan(0.7);
    expect(past(sound, 1 / 3)).toBeLessThan(0.2);
  });

  it('is hardly told by guns that differ much when new', () => {
    const others = [-0.3, 0.25, -0.2, 0.3, 0.1, -0.25, 0.2].map((level) => seen(level, true));
    const low = past(metShare(seen(-0.2), others, NOTHING_WORN, AT), 0.5);
    const high = past(metShare(seen(0.2), others, NOTHING_WORN, AT), 0.5);
    expect(low - high).toBeLessThan(0.4);
    expect(low - high).toBeGreaterThan(0);
  });

  it('needs no gun whose insert is known: guns met alike are taken for half worn like the others', () => {
    const share = metShare(seen(0), alike(0, false, 7), NOTHING_WORN, AT);
    expect(past(share, 0.5)).toBeGreaterThan(0.2);
    expect(past(share, 0.5)).toBeLessThan(0.55);
  });

  it('is a belief whatever was seen, and rises with wear', () => {
    const level = fc.double({ min: -0.4, max: 0.4, noNaN: true });
    const others = fc.array(fc.record({ level, fresh: fc.boolean() }), { maxLength: 9 });
    fc.assert(
      fc.property(level, others, fc.double({ min: 0, max: 0.5, noNaN: true }), (own, guns, worn) => {
        const since = { worn, wornSd: 0.02, atLimit: 0.3, limitSd: 0.25 };
        const share = metShare(seen(own), guns, since, AT);
        expect(share.sd).toBeGreaterThan(0);
        expect(Number.isFinite(share.log)).toBe(true);
        const surer = { ...since, limitSd: 0 };
        const later = metShare(seen(own), guns, { ...surer, worn: worn + 0.05 }, AT);
        expect(past(later, 0.5)).toBeGreaterThanOrEqual(past(metShare(seen(own), guns, surer, AT), 0.5) - 1e-6);
      }),
    );
  });
});
