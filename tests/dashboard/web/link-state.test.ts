import { expect, test } from 'vitest';
import { linkState, serverNow } from '../../../dashboard/web/link/link-state.ts';

const NOON = Date.UTC(2026, 2, 11, 12);
const silent = { openedMs: 1000, lastMs: null, serverMs: null };
const heard = { openedMs: 1000, lastMs: 50_000, serverMs: NOON };

test('a page that just opened waits for nine seconds before it complains', () => {
  expect(linkState(silent, 10_000)).toEqual({ kind: 'opening' });
  expect(linkState(silent, 10_001)).toEqual({ kind: 'unreached' });
});

test('three heartbeats of 3 s may be late, then the connection is lost', () => {
  expect(linkState(heard, 59_000)).toEqual({ kind: 'live' });
  expect(linkState(heard, 59_001)).toEqual({ kind: 'lost', lastTrueMs: NOON });
});

test('the time is the service’s, carried on by the page’s steady clock', () => {
  expect(serverNow(heard, 52_500)).toBe(NOON + 2500);
  expect(serverNow(silent, 52_500)).toBeNull();
});
