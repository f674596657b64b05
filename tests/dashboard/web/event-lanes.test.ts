import fc from 'fast-check';
import { expect, test } from 'vitest';
import { lanesOf } from '../../../dashboard/web/history/event-lanes.ts';

test('what follows one another shares a lane, what overlaps does not', () => {
  const marks = [
    { from: 0, to: 10 },
    { from: 10, to: 20 },
    { from: 5, to: 30 },
    { from: 20, to: 25 },
  ];
  expect(lanesOf(marks)).toEqual({ lanes: [0, 0, 1, 0], count: 2 });
  expect(lanesOf([])).toEqual({ lanes: [], count: 1 });
});

test('no mark hides another while there are lanes', () => {
  const span = fc.record({ from: fc.nat(50), length: fc.integer({ min: 1, max: 12 }) });
  fc.assert(
    fc.property(fc.array(span, { maxLength: 12 }), (spans) => {
      const marks = spans.map(({ from, length }) => ({ from, to: from + length }));
      const { lanes, count } = lanesOf(marks);
      expect(lanes.every((lane) => lane >= 0 && lane < count)).toBe(true);
      // The last of five takes what finds no room.
      for (const [a, left] of marks.entries())
        for (const [b, right] of marks.entries())
          if (a < b && lanes[a] === lanes[b] && lanes[a]! < 4)
            expect(left.to <= right.from || right.to <= left.from).toBe(true);
    }),
  );
});
