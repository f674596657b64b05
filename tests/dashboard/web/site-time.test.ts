import fc from 'fast-check';
import { Temporal } from 'temporal-polyfill';
import { expect, test } from 'vitest';
import {
  clock,
  day,
  dayAndClock,
  fromLocalField,
  localFieldValue,
  secondsClock,
  since,
  type TimeStyle,
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

test('a clock time that comes twice when clocks go back says which of the two it is', () => {
  const of = (text: string, style: TimeStyle = vienna): string => clock(Date.parse(text), style).replace(/\s/g, ' ');
  expect(['2026-10-24T23:59Z', '2026-10-25T00:00Z', '2026-10-25T00:59Z'].map((text) => of(text))).toEqual([
    '01:59',
    '02:00 CEST',
    '02:59 CEST',
  ]);
  expect(['2026-10-25T01:00Z', '2026-10-25T01:59Z', '2026-10-25T02:00Z'].map((text) => of(text))).toEqual([
    '02:00 CET',
    '02:59 CET',
    '03:00',
  ]);
  expect(secondsClock(Date.parse('2026-10-25T01:30:05Z'), vienna)).toBe('02:30:05 CET');
  expect(of('2026-11-01T05:30Z', detroit)).toBe('1:30 AM EDT');
  expect(of('2026-11-01T06:30Z', detroit)).toBe('1:30 AM EST');
  // Half an hour is put back here, a quarter before it is not yet twice.
  const howe = { timezone: 'Australia/Lord_Howe', units: 'metric' } as const;
  expect(of('2026-04-04T14:15Z', howe)).toBe('01:15');
  expect([of('2026-04-04T14:45Z', howe), of('2026-04-04T15:15Z', howe)]).toEqual(['01:45 GMT+11', '01:45 GMT+10:30']);
  // In spring a clock leaves times out, and none comes twice.
  expect(['2026-03-29T00:59Z', '2026-03-29T01:00Z'].map((text) => of(text))).toEqual(['01:59', '03:00']);
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
