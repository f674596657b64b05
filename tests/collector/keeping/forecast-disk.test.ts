import { expect, test } from 'vitest';
import { forecastDisk } from '../../../collector/keeping/forecast-disk.ts';

const DAY = 86_400_000;
const LIMITS = { warnDays: 30, warnFreeBytes: 1e9 };
const samples = (days: number, perDay: number) =>
  Array.from({ length: days * 4 }, (_, i) => ({
    at: i * (DAY / 4),
    usedBytes: 5e9 + (perDay * i) / 4,
    freeBytes: 9e11,
  }));

test('a store that grows evenly is full when its growth has used up the room', () => {
  const known = samples(10, 2e8);
  const now = { at: 10 * DAY, usedBytes: 5e9 + 2e9, freeBytes: 12e9 };
  const { growthPerDay, daysLeft, warning } = forecastDisk(now, known, { ...LIMITS, warnDays: 61 });
  expect(growthPerDay).toBeCloseTo(2e8, 0);
  expect(daysLeft).toBeCloseTo(60, 6);
  expect(warning).toBe(
    'The disk will be full in about 60 days (12000 MB free). Make room, or keep raw readings for a shorter time.',
  );
  expect(forecastDisk(now, known, { ...LIMITS, warnDays: 60 }).warning).toBeNull();
});

test('a store that does not grow is never full, and one just begun promises nothing', () => {
  const now = { at: 10 * DAY, usedBytes: 5e9, freeBytes: 12e9 };
  expect(forecastDisk(now, samples(10, 0), LIMITS)).toMatchObject({ daysLeft: null, warning: null });
  expect(forecastDisk(now, samples(10, -1e6), LIMITS).daysLeft).toBeNull();
  expect(forecastDisk(now, [], LIMITS)).toMatchObject({ growthPerDay: null, daysLeft: null, warning: null });
  const early = [{ at: now.at - 3 * 3_600_000, usedBytes: 1, freeBytes: 1 }];
  expect(forecastDisk(now, early, LIMITS).growthPerDay).toBeNull();
});

test('only the last four weeks count: an import of long ago is no growth', () => {
  const imported = { at: 0, usedBytes: 0, freeBytes: 9e11 };
  const steady = samples(40, 0).map((sample) => ({ ...sample, at: sample.at + 10 * DAY }));
  const now = { at: 50 * DAY, usedBytes: 5e9, freeBytes: 12e9 };
  expect(forecastDisk(now, [imported, ...steady], LIMITS).growthPerDay).toBeCloseTo(0, 3);
});

test('little room is warned of without any growth, and hardly any room plainly', () => {
  const at = 0;
  expect(forecastDisk({ at, usedBytes: 1, freeBytes: 9e8 }, [], LIMITS).warning).toMatch(/^Little room is left/);
  expect(forecastDisk({ at, usedBytes: 1, freeBytes: 1e6 }, [], LIMITS).warning).toMatch(
    /as good as full \(1 MB free\)/,
  );
});
