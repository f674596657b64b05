import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { MetInsert } from '../../../analyzer/forecast/hall-ages.ts';
import { type FirstSight, metShare } from '../../../analyzer/forecast/met-insert.ts';
import { normalCdf } from '../../../analyzer/stats/normal.ts';

const AT = [1 / 3, 1 / 2] as const;
const NOTHING_WORN = { worn: 0, wornSd: 0, atLimit: 0.3, limitSd: 0, used: null };
const NEW: MetInsert = { kind: 'new' };
const stillIn = (worn = 0): MetInsert => ({ kind: 'in', worn });
const alike = (level: number, insert: MetInsert, guns: number): FirstSight[] =>
  Array.from({ length: guns }, (_, i) => ({ level: level + (i % 2 === 0 ? 0.01 : -0.01), insert }));
/** Chance that more than a share of the limit is used. */
const past = ({ log, sd }: { log: number; sd: number }, share: number): number =>
  normalCdf((log - Math.log(share)) / sd);

describe('the share that an insert has used which was there at the first reading', () => {
  // Three in five: any share up to 0.8, of whose 16 steps of 0.05 six lie beyond a half. One in five: new. One in five: about 0.2, 0.4 or 0.6, give or take 0.12.
  it('may be any, or that of all others, while no other gun tells', () => {
    const share = metShare(0, [], NOTHING_WORN, AT);
    const together = [0.2, 0.4, 0.6].reduce((sum, mean) => sum + normalCdf((mean - 0.5) / 0.12) / 3, 0);
    expect(past(share, 0.5)).toBeCloseTo((0.6 * 6) / 16 + 0.2 * together, 2);
  });

  it('goes by the time since it was new where the log says that', () => {
    const daysOn = (days: number) =>
      past(metShare(0, [], { ...NOTHING_WORN, used: { log: Math.log(days / 30), sd: 0.7 } }, AT), 0.5);
    // By hand: ln(0.5) lies 1.73 deviations above ln(4.5 / 30).
    expect(daysOn(4.5)).toBeCloseTo(1 - normalCdf(Math.log(0.5 / 0.15) / 0.7), 1);
    expect(daysOn(4.5)).toBeLessThan(daysOn(12));
    expect(daysOn(12)).toBeLessThan(daysOn(25));
    expect(daysOn(25)).toBeGreaterThan(0.6);
  });

  it('moves on by what has worn since, against what may wear', () => {
    const before = metShare(0, alike(0, NEW, 1), NOTHING_WORN, [0.1, 0.2]);
    const after = metShare(0, alike(0, NEW, 1), { ...NOTHING_WORN, worn: 0.09 }, [0.4, 0.5]);
    expect(past(after, 0.5)).toBeCloseTo(past(before, 0.2), 1);
  });

  it('is large where guns that are alike when new give more, and small where they give as much', () => {
    const worn = metShare(-0.21, alike(0, NEW, 7), NOTHING_WORN, AT);
    const sound = metShare(0, alike(0, NEW, 7), NOTHING_WORN, AT);
    expect(past(worn, 0.5)).toBeGreaterThan(0.7);
    expect(past(sound, 1 / 3)).toBeLessThan(0.2);
  });

  it('is hardly told by guns that differ much when new', () => {
    const others = [-0.3, 0.25, -0.2, 0.3, 0.1, -0.25, 0.2].map((level) => ({ level, insert: NEW }));
    const low = past(metShare(-0.2, others, NOTHING_WORN, AT), 0.5);
    const high = past(metShare(0.2, others, NOTHING_WORN, AT), 0.5);
    expect(low - high).toBeLessThan(0.4);
    expect(low - high).toBeGreaterThan(0);
  });

  it('needs no gun whose insert is known: guns met alike are taken for as old as each other, new or not', () => {
    const share = metShare(0, alike(0, stillIn(), 7), NOTHING_WORN, AT);
    expect(past(share, 0.5)).toBeGreaterThan(0.05);
    expect(past(share, 0.5)).toBeLessThan(0.3);
    // One that gives less than the others is older than they.
    expect(past(metShare(-0.2, alike(0, stillIn(), 7), NOTHING_WORN, AT), 0.5)).toBeGreaterThan(0.5);
  });

  it('is small where the others turned out to have been new, and where nobody changes an insert though all have worn', () => {
    const worn = { ...NOTHING_WORN, worn: 0.12 };
    const chance = (insert: MetInsert): number => past(metShare(0, alike(0, insert, 7), worn, AT), 0.5);
    const unknown = chance({ kind: 'changed', lost: null });
    expect(chance({ kind: 'changed', lost: 0 })).toBeLessThan(unknown - 0.2);
    expect(chance(stillIn(0.8))).toBeLessThan(chance(stillIn(0.1)) - 0.1);
  });

  it('waits in a hall where inserts were new at first sight, and tells where they were worn', () => {
    const since = { ...NOTHING_WORN, worn: 0.06, wornSd: 0.02 };
    const tells = (lost: number): boolean =>
      metShare(-0.03, alike(0, { kind: 'changed', lost }, 5), since, AT).tellNow!();
    expect(tells(0.01)).toBe(false);
    expect(metShare(-0.2, alike(0, { kind: 'changed', lost: 0.15 }, 5), since, AT).tellNow!()).toBe(true);
  });

  it('is a belief whatever was seen, and rises with wear', () => {
    const level = fc.double({ min: -0.4, max: 0.4, noNaN: true });
    const insert: fc.Arbitrary<MetInsert> = fc.oneof(
      fc.constant(NEW),
      fc.double({ min: 0, max: 3, noNaN: true }).map(stillIn),
      fc.option(fc.double({ min: -1, max: 1, noNaN: true })).map((lost): MetInsert => ({ kind: 'changed', lost })),
    );
    const others = fc.array(fc.record({ level, insert }), { maxLength: 9 });
    fc.assert(
      fc.property(level, others, fc.double({ min: 0, max: 0.5, noNaN: true }), (own, guns, worn) => {
        const since = { worn, wornSd: 0.02, atLimit: 0.3, limitSd: 0.25, used: null };
        const share = metShare(own, guns, since, AT);
        expect(share.sd).toBeGreaterThan(0);
        expect(Number.isFinite(share.log)).toBe(true);
        const surer = { ...since, limitSd: 0 };
        const later = metShare(own, guns, { ...surer, worn: worn + 0.05 }, AT);
        expect(past(later, 0.5)).toBeGreaterThanOrEqual(past(metShare(own, guns, surer, AT), 0.5) - 1e-6);
      }),
    );
  });
});
