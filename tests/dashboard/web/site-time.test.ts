import { expect, test } from 'vitest';
import {
  clock,
  day,
  dayAndClock,
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
