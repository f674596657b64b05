import { beforeEach, expect, test } from 'vitest';
import { EARLIEST_MS, LATEST_MS } from '../../../collector/contract/index.ts';
import { ColumnsByTime } from '../../../collector/decode/columns-by-time.ts';
import type { PackColumns } from '../../../collector/decode/pack-columns.ts';

const NOW = Date.parse('2026-06-30T12:00:00Z');
const AHEAD_MS = 300_000;

let refused: string[];
let columns: ColumnsByTime;
beforeEach(() => {
  refused = [];
  columns = new ColumnsByTime((reason) => void refused.push(reason));
  columns.begin(NOW, AHEAD_MS);
});
const take = (ms: number, relative = false, value: number | string = 1.5): void => columns.take(ms, relative, 0, value);
const timesOf = (one: PackColumns | null) => one?.times ?? null;
const apart = () => ({ kept: timesOf(columns.kept), ahead: timesOf(columns.ahead), early: timesOf(columns.early) });

test.each([
  ['the first that is kept', EARLIEST_MS, 'kept', []],
  ['before 2000', EARLIEST_MS - 1, 'early', ['before-2000']],
  ['as far ahead as a slow clock may be', NOW + AHEAD_MS, 'kept', []],
  ['further ahead', NOW + AHEAD_MS + 1, 'ahead', ['ahead-of-clock']],
  ['the last that can be written', LATEST_MS, 'ahead', ['ahead-of-clock']],
] as const)('a time %s goes where it belongs, with its reason', (_, ms, place, reasons) => {
  take(ms);
  expect(apart()).toEqual({ kept: [], ahead: null, early: null, [place]: [ms] });
  expect(refused).toEqual(reasons);
  expect(columns.keeps(ms)).toBe(place === 'kept');
});

test('a time that no calendar has is refused and kept nowhere', () => {
  take(LATEST_MS + 1);
  expect(apart()).toEqual({ kept: [], ahead: null, early: null });
  expect(refused).toEqual(['time-unreadable']);
  expect(columns.keeps(LATEST_MS + 1)).toBe(false);
});

test('what is ahead and was said relative to now may count from 1970: it lies in both places, and is refused once', () => {
  take(NOW + 400_000, true);
  take(NOW + 500_000, false);
  expect(apart()).toEqual({ kept: [], ahead: [NOW + 400_000, NOW + 500_000], early: [400_000] });
  expect(refused).toEqual(['ahead-of-clock', 'ahead-of-clock']);
});

test('all are from now only where each kept one was said so and lies ahead', () => {
  expect(columns.allFromNow).toBe(false);
  take(NOW + 1000, true);
  take(NOW + 2000, true);
  expect(columns.allFromNow).toBe(true);
  // What is not kept says nothing of those that are.
  take(NOW + 400_000, false);
  expect(columns.allFromNow).toBe(true);
  take(NOW, true);
  expect(columns.allFromNow).toBe(false);

  columns.begin(NOW, AHEAD_MS);
  take(NOW + 1000, true);
  take(NOW + 1000, false);
  expect(columns.allFromNow).toBe(false);
});

test('the next pack begins with nothing of the one before, by its own time', () => {
  for (const ms of [0, NOW, NOW + 400_000]) take(ms, true);
  columns.begin(NOW + 200_000, AHEAD_MS);
  expect([apart(), columns.allFromNow]).toEqual([{ kept: [], ahead: null, early: null }, false]);
  take(NOW + 400_000, true);
  expect([timesOf(columns.kept), columns.allFromNow]).toEqual([[NOW + 400_000], true]);
});

test('names lie beside the values of their own place, and one too many is refused', () => {
  for (let i = 0; i <= 256; i++) take(NOW, false, `powder-${i}`);
  take(0, false, 'powder-256');
  expect(columns.kept.strings).toHaveLength(256);
  expect(columns.kept.values.at(-1)).toBe(255);
  expect(columns.early?.strings).toEqual(['powder-256']);
  expect(refused).toEqual(['unusable-name', 'before-2000']);
});
