import { expect, test } from 'vitest';
import { pausesIn } from '../../../dashboard/web/history/pauses.ts';

const HOUR_MS = 3_600_000;

test('a break between shifts is passed over, a night is a pause', () => {
  expect(pausesIn([0, 6 * HOUR_MS, 9 * HOUR_MS], HOUR_MS)).toEqual([]);
  expect(pausesIn([0, 6 * HOUR_MS + 1], HOUR_MS)).toEqual([{ from: 0, to: 6 * HOUR_MS + 1 }]);
});

test('neighbouring points of years have no pause between them', () => {
  const widthMs = 53 * HOUR_MS;
  expect(pausesIn([0, widthMs, 3 * widthMs, 6 * widthMs], widthMs)).toEqual([{ from: 3 * widthMs, to: 6 * widthMs }]);
  expect(pausesIn([], widthMs)).toEqual([]);
});
