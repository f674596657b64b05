import { expect, test } from 'vitest';
import { tickLabels, withoutCutLast } from '../../../dashboard/web/history/tick-labels.ts';
import type { TimeStyle } from '../../../dashboard/web/words/site-time.ts';

const vienna: TimeStyle = { timezone: 'Europe/Vienna', units: 'metric' };
const chicago: TimeStyle = { timezone: 'America/Chicago', units: 'us' };
const times = (...texts: string[]): number[] => texts.map((text) => Date.parse(text));
const MONTH_MS = 30 * 86_400_000;

test('over two years the first mark and each new year say which year it is', () => {
  const ticks = times('2025-11-01T00:00+01:00', '2026-01-01T00:00+01:00', '2026-03-01T00:00+01:00');
  expect(tickLabels(ticks, MONTH_MS, vienna)).toEqual(['1 Nov\n2025', '1 Jan\n2026', '1 Mar']);
  expect(tickLabels(times('2026-07-01T00:00-05:00', '2027-01-01T00:00-06:00'), MONTH_MS, chicago)).toEqual([
    'Jul 1\n2026',
    'Jan 1\n2027',
  ]);
});

test('the year is the plant’s: midnight there is still last year in UTC', () => {
  expect(tickLabels(times('2025-12-31T23:00Z'), MONTH_MS, vienna)).toEqual(['1 Jan\n2026']);
});

test('within a day the clock stands there, the day at midnight, seconds where they tell marks apart', () => {
  const night = times('2026-10-25T00:00+02:00', '2026-10-25T02:00+02:00', '2026-10-25T02:00+01:00');
  expect(tickLabels(night, 3_600_000, vienna)).toEqual(['25 Oct', '02:00 CEST', '02:00 CET']);
  expect(tickLabels(times('2026-10-25T00:00:30+02:00'), 10_000, vienna)).toEqual(['00:00:30']);
});

test('a last mark that would be cut off at the edge has no words', () => {
  expect(withoutCutLast(['22:08:55', '22:09:00'], 20)).toEqual(['22:08:55', '']);
  expect(withoutCutLast(['22:08:55', '22:09:00'], 23)).toEqual(['22:08:55', '22:09:00']);
  expect(withoutCutLast(['7:00 AM', '8:00 AM'], 20)).toEqual(['7:00 AM', '8:00 AM']);
  expect(withoutCutLast(['1 Dec', '1 Jan\n2027'], 15)).toEqual(['1 Dec', '1 Jan\n2027']);
  expect(withoutCutLast([], 0)).toEqual([]);
});
