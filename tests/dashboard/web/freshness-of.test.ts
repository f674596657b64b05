import { expect, test } from 'vitest';
import { freshnessOf } from '../../../dashboard/web/history/freshness-of.ts';

const MINUTE_MS = 60_000;
const DAY_MS = 24 * 60 * MINUTE_MS;
const NOW = Date.UTC(2026, 10, 26, 12);
const picture = (endMs: number, newestMs: number) => ({
  from: NOW - endMs - DAY_MS,
  to: NOW - endMs,
  known: { from: 0, to: NOW - newestMs },
});

test('a picture that was just drawn of a gun that sprays needs no word', () => {
  expect(freshnessOf(picture(5 * MINUTE_MS, 6 * MINUTE_MS), NOW)).toMatchObject({ isSilent: false, isOld: false });
});

test('one that was left open says so, and as long a span up to now is at hand', () => {
  const { isOld, upToNow } = freshnessOf(picture(5 * MINUTE_MS + 1, 6 * MINUTE_MS), NOW);
  expect([isOld, upToNow]).toEqual([true, { from: NOW - DAY_MS, to: NOW }]);
});

test('a gun that has not sprayed for more than a day is silent', () => {
  expect(freshnessOf(picture(0, DAY_MS), NOW).isSilent).toBe(false);
  expect(freshnessOf(picture(0, DAY_MS + 1), NOW).isSilent).toBe(true);
});

test('a picture of an earlier time does not age', () => {
  expect(freshnessOf(picture(20 * DAY_MS, 2 * DAY_MS), NOW)).toMatchObject({ isSilent: false, isOld: false });
});

test('nothing is said before the service told the time, or of a gun that never sprayed', () => {
  expect(freshnessOf(picture(DAY_MS, 2 * DAY_MS), null)).toMatchObject({ isSilent: false, isOld: false });
  expect(freshnessOf({ from: 0, to: 1, known: null }, NOW)).toMatchObject({ isSilent: false, isOld: false });
});
