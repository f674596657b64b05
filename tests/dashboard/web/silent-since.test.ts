import { expect, test } from 'vitest';
import { silentSince } from '../../../dashboard/web/wall/silent-since.ts';

const vienna = { timezone: 'Europe/Vienna', units: 'metric' } as const;
const now = Date.parse('2026-11-25T18:12:00Z');

test('says the clock on the same day', () => {
  expect(silentSince(Date.parse('2026-11-25T17:54:00Z'), now, vienna)).toBe('silent since 18:54');
  // In the hour that comes twice, too: its zone would be cut off.
  const night = Date.parse('2026-10-25T00:30:00Z');
  expect(silentSince(night, night + 60_000, vienna)).toBe('silent since 02:30');
});

test('says the day without its weekday before that, so that the row has room for it', () => {
  expect(silentSince(Date.parse('2026-10-14T17:46:00Z'), now, vienna)).toBe('silent since 14 Oct');
  expect(silentSince(Date.parse('2025-11-25T17:54:00Z'), now, vienna)).toBe('silent since Nov 2025');
  expect(silentSince(Date.parse('2026-10-14T17:46:00Z'), now, { ...vienna, units: 'us' })).toBe('silent since Oct 14');
});
