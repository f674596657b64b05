import { expect, test } from 'vitest';
import { pausesIn } from '../../../dashboard/web/history/pauses.ts';

const HOUR_MS = 3_600_000;

test('on a day a break between shifts is passed over, a night is a pause', () => {
  const widthMs = HOUR_MS / 4;
  expect(pausesIn([0, 6 * HOUR_MS, 9 * HOUR_MS], widthMs)).toEqual([]);
  expect(pausesIn([0, 6 * HOUR_MS + 1], widthMs)).toEqual([{ from: 0, to: 6 * HOUR_MS + 1 }]);
});

test('over two months nights would make a dashed line of each: weekends alone are pauses', () => {
  const widthMs = 4 * HOUR_MS;
  expect(pausesIn([0, 16 * HOUR_MS, 32 * HOUR_MS], widthMs)).toEqual([]);
  expect(pausesIn([0, 64 * HOUR_MS], widthMs)).toEqual([{ from: 0, to: 64 * HOUR_MS }]);
});

test('neighbouring points of years have no pause between them', () => {
  const widthMs = 53 * HOUR_MS;
  expect(pausesIn([0, widthMs, 9 * widthMs, 18 * widthMs], widthMs)).toEqual([{ from: 9 * widthMs, to: 18 * widthMs }]);
  expect(pausesIn([], widthMs)).toEqual([]);
});
