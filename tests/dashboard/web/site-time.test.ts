import fc from 'fast-check';
import { Temporal } from 'temporal-polyfill';
import { expect, test } from 'vitest';
import {
  clock,
  day,
  dayAndClock,
  fromLocalField,
  localFieldValue,
  since,
} from '../../../dashboard/web/words/site-time.ts';

const vienna = { timezone: 'Europe/Vienna', units: 'metric' } as const;
const detroit = { timezone: 'America/Detroit', units: 'us' } as const;
const NOON = Date.UTC(2026, 2, 11, 13, 32);

test('times are the plant’s, wherever the page is read', () => {
  expect(clock(NOON, vienna)).toBe('14:32');
  expect(clock(NOON, detroit).replace(/\s/g, ' ')).toBe('9:32 AM');
  expect(day(NOON, vienna)).toBe('Wed 11 Mar');
  expect(day(NOON, vienna, NOON + 179 * 86_400_000)).toBe('Wed 11 Mar');
  expect(day(NOON, vienna, NOON + 181 * 86_400_000)).toBe('Wed 11 Mar 2026');
  expect(dayAndClock(NOON, vienna)).toMatch(/^Wednesday,? 11 March 2026, 14:32$/);
});

test('since when is a clock time today and a date before', () => {
  expect(since(NOON - 3_600_000, NOON, vienna)).toBe('13:32');
  expect(since(NOON - 86_400_000, NOON, vienna)).toBe('Tue 10 Mar');
  expect(since(NOON - 365 * 86_400_000, NOON, vienna)).toBe('Tue 11 Mar 2025');
});

test.each(['Europe/Vienna', 'America/Detroit', 'Asia/Kolkata', 'Pacific/Chatham', 'UTC'])(
  'a field’s date and time in %s is the instant that Temporal says, daylight saving included',
  (timezone) => {
    const minutes = fc.integer({ min: Date.UTC(2024, 0) / 60_000, max: Date.UTC(2028, 0) / 60_000 });
    fc.assert(
      fc.property(minutes, (minute) => {
        const text = new Date(minute * 60_000).toISOString().slice(0, 16);
        const expected = Temporal.PlainDateTime.from(text).toZonedDateTime(timezone, { disambiguation: 'compatible' });
        expect(fromLocalField(text, timezone)).toBe(expected.epochMilliseconds);
      }),
      { numRuns: 300 },
    );
  },
);

test('around each change of the clocks every quarter of an hour agrees with Temporal', () => {
  for (const start of ['2026-03-29T00:00', '2026-10-25T00:00'])
    for (let quarter = 0; quarter < 20; quarter += 1) {
      const text = Temporal.PlainDateTime.from(start)
        .add({ minutes: 15 * quarter })
        .toString({ smallestUnit: 'minute' });
      const expected = Temporal.PlainDateTime.from(text).toZonedDateTime('Europe/Vienna').epochMilliseconds;
      expect(fromLocalField(text, 'Europe/Vienna'), text).toBe(expected);
    }
});

test('an instant and the field that shows it are one and the same', () => {
  expect(localFieldValue(NOON, 'Europe/Vienna')).toBe('2026-03-11T14:32');
  expect(fromLocalField('2026-03-11T14:32', 'Europe/Vienna')).toBe(NOON);
});

test.each(['', '2026-03-11', 'yesterday', '2026-13-01T00:00'])('"%s" is no date and time', (text) => {
  expect(fromLocalField(text, 'UTC')).toBeNull();
});
