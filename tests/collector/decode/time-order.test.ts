import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { orderByTime } from '../../../collector/decode/time-order.ts';

describe('orderByTime', () => {
  it('gives the order of a stable sort', () => {
    const time = fc.oneof(
      fc.integer({ min: 0, max: 5 }),
      fc.integer({ min: 946_684_800_000, max: 946_684_800_100 }),
      fc.integer({ min: 946_684_800_000, max: 1_900_000_000_000 }),
      fc.integer({ min: 1e12, max: 1.3e13 }),
    );
    fc.assert(
      fc.property(fc.array(time, { maxLength: 200 }), (times) => {
        const expected = times.map((_, row) => row).sort((left, right) => (times[left] ?? 0) - (times[right] ?? 0));
        expect([...orderByTime(Float64Array.from(times))]).toEqual(expected);
      }),
      { numRuns: 500 },
    );
  });

  it('takes few late rows in among the others as a stable sort does', () => {
    const late = fc.array(fc.record({ row: fc.nat({ max: 299 }), back: fc.integer({ min: 0, max: 400 }) }), {
      maxLength: 18,
    });
    fc.assert(
      fc.property(late, fc.integer({ min: 1, max: 3 }), (moved, rowsATime) => {
        const times = Array.from({ length: 300 }, (_, row) => 946_684_800_000 + Math.floor(row / rowsATime));
        for (const { row, back } of moved) times[row] = (times[row] ?? 0) - back;
        const expected = times.map((_, row) => row).sort((left, right) => (times[left] ?? 0) - (times[right] ?? 0));
        expect([...orderByTime(Float64Array.from(times))]).toEqual(expected);
      }),
      { numRuns: 500 },
    );
  });

  it('reaches over 557 years and no further', () => {
    expect([...orderByTime(Float64Array.of(2 ** 44 - 1, 0))]).toEqual([1, 0]);
    expect(() => orderByTime(Float64Array.of(2 ** 44, 0))).toThrow(RangeError);
  });
});
