import fc from 'fast-check';
import { expect, test } from 'vitest';
import { bucketsOf, thin } from '../../../analyzer/history/thin.ts';

const values = fc.array(
  fc.record({
    time: fc.integer({ min: 0, max: 999 }),
    value: fc.oneof(fc.double({ min: -50, max: 50, noNaN: true }), fc.constant(Number.NaN)),
  }),
  { maxLength: 200 },
);

test('no peak is lost, and a mean lies between lowest and highest', () => {
  fc.assert(
    fc.property(values, fc.integer({ min: 1, max: 40 }), (points, count) => {
      const widthMs = Math.ceil(1000 / count);
      const places = bucketsOf(
        points.map(({ time }) => time),
        { from: 0, widthMs, count },
      );
      const { low, mid, high } = thin(
        places,
        points.map(({ value }) => value),
        count,
      );
      const known = points.filter(({ value }) => !Number.isNaN(value));
      for (let bucket = 0; bucket < count; bucket++) {
        const own = known.filter(({ time }) => Math.floor(time / widthMs) === bucket).map(({ value }) => value);
        if (own.length === 0)
          expect([low[bucket], mid[bucket], high[bucket]]).toEqual([Number.NaN, Number.NaN, Number.NaN]);
        else {
          expect(low[bucket]).toBe(Math.min(...own));
          expect(high[bucket]).toBe(Math.max(...own));
          expect(mid[bucket]!).toBeCloseTo(own.reduce((sum, one) => sum + one, 0) / own.length, 9);
        }
      }
    }),
  );
});

test('what lies outside the buckets is left out', () => {
  const places = bucketsOf([-1, 0, 9, 10, 20], { from: 0, widthMs: 5, count: 2 });
  expect([...places]).toEqual([-1, 0, 1, -1, -1]);
  const { mid } = thin(places, [7, 1, 3, 7, 7], 2);
  expect([...mid]).toEqual([1, 3]);
});
