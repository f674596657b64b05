import { expect, test } from 'vitest';
import { localInstant } from '../../../../collector/decode/mapped/local-time.ts';

const at = (text: string, notBefore = Number.NEGATIVE_INFINITY): string => {
  const { ms } = localInstant(text, 'Europe/Vienna', notBefore);
  return Number.isNaN(ms) ? 'none' : new Date(ms).toISOString();
};

// Directive 2000/84/EC: summer time begins and ends at 1:00 UTC on the last Sunday of March and October.
test.each([
  ['2026-03-02T09:10:00', '2026-03-02T08:10:00.000Z'],
  ['2026-07-02 09:10:00.5', '2026-07-02T07:10:00.500Z'],
  ['2026-10-25T02:30:00', '2026-10-25T00:30:00.000Z'],
  ['2026-03-29T02:30:00', '2026-03-29T01:30:00.000Z'],
  ['2026-02-30T00:00:00', 'none'],
  ['yesterday', 'none'],
  ['20260302T091000,5', '2026-03-02T08:10:00.500Z'],
  ['2026-03-02T09:10:00+00:00', 'none'],
  ['2026-03-02T09:10:00+01:00[Asia/Tokyo]', 'none'],
  ['2026-03-02T09:10:00[Europe/Vienna]', 'none'],
  ['2026-03-02', 'none'],
])('%s in Vienna is %s', (text, utc) => {
  expect(at(text)).toBe(utc);
});

test('the second 2:30 of an autumn night is told by what was read before', () => {
  expect(at('2026-10-25T02:30:00', Date.UTC(2026, 9, 25, 0, 45))).toBe('2026-10-25T01:30:00.000Z');
});

// The same directive; Lord Howe Island's clock moves by half an hour (IANA time zone database, australasia).
test.each([
  ['2026-03-29T01:59:59', 'Europe/Vienna', 'once'],
  ['2026-03-29T02:00:00', 'Europe/Vienna', 'never'],
  ['2026-03-29T02:59:59', 'Europe/Vienna', 'never'],
  ['2026-03-29T03:00:00', 'Europe/Vienna', 'once'],
  ['2026-10-25T01:59:59', 'Europe/Vienna', 'once'],
  ['2026-10-25T02:00:00', 'Europe/Vienna', 'twice'],
  ['2026-10-25T03:00:00', 'Europe/Vienna', 'once'],
  ['2026-10-04T02:29:59', 'Australia/Lord_Howe', 'never'],
  ['2026-10-04T02:30:00', 'Australia/Lord_Howe', 'once'],
  ['2026-03-29T02:30:00', 'Etc/GMT-1', 'once'],
])('the clock showed %s in %s %s', (text, zone, shown) => {
  expect(localInstant(text, zone, Number.NEGATIVE_INFINITY).shown).toBe(shown);
});
