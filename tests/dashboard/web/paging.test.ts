import fc from 'fast-check';
import { expect, test } from 'vitest';
import { gunPage, LOW_ROW_PX, ROOM_PX, ROW_PX } from '../../../dashboard/web/wall/paging.ts';

interface Gun {
  readonly id: number;
  /** 0 is well, above that the worse the higher. */
  readonly bad: number;
}
const needs = (gun: Gun): boolean => gun.bad > 0;
const worst = (left: Gun, right: Gun): number => right.bad - left.bad;
const guns = (count: number, bad: Record<number, number> = {}): Gun[] =>
  Array.from({ length: count }, (_, id) => ({ id, bad: bad[id] ?? 0 }));
const ids = (some: readonly Gun[]): number[] => some.map(({ id }) => id);

test('eight guns are all there, in their own order, with their small lines', () => {
  const page = gunPage(guns(8, { 5: 9 }), 3, needs, worst);
  expect(ids(page.guns)).toEqual([0, 1, 2, 3, 4, 5, 6, 7]);
  expect(page).toMatchObject({ pages: 1, held: 0, low: false });
});

test('eleven guns that are well fit on low rows', () => {
  expect(gunPage(guns(11), 0, needs, worst)).toMatchObject({ pages: 1, low: true });
  expect(gunPage(guns(12), 0, needs, worst).pages).toBeGreaterThan(1);
});

test('guns that need someone stay on every page, worst first', () => {
  const many = guns(24, { 3: 1, 9: 4, 20: 2 });
  for (let turn = 0; turn < 6; turn += 1) {
    const page = gunPage(many, turn, needs, worst);
    expect(ids(page.guns).slice(0, 3)).toEqual([9, 20, 3]);
    expect(page.held).toBe(3);
  }
});

test('at most four stay, so that the others have their turn', () => {
  expect(gunPage(guns(24, { 1: 1, 2: 1, 3: 1, 4: 1, 5: 1, 6: 1 }), 0, needs, worst).held).toBe(4);
});

test('every gun has its turn, none is shown twice, and no page is higher than its room', () => {
  const plants = fc.array(fc.nat(4), { minLength: 1, maxLength: 60 });
  fc.assert(
    fc.property(plants, fc.integer({ min: -50, max: 50 }), (bad, start) => {
      const all = bad.map((value, id) => ({ id, bad: value }));
      const first = gunPage(all, start, needs, worst);
      const seen = new Set<number>();
      for (let turn = start; turn < start + first.pages; turn += 1) {
        const page = gunPage(all, turn, needs, worst);
        expect(new Set(ids(page.guns)).size).toBe(page.guns.length);
        expect(new Set([...ids(page.guns), ...ids(page.away)]).size).toBe(all.length);
        const height = page.guns.reduce((sum, gun) => sum + (page.low && !needs(gun) ? LOW_ROW_PX : ROW_PX), 0);
        expect(height).toBeLessThanOrEqual(ROOM_PX);
        for (const id of ids(page.guns)) seen.add(id);
      }
      expect(seen.size).toBe(all.length);
    }),
  );
});
