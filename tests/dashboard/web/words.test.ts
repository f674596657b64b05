import { expect, test } from 'vitest';
import { CHANNEL_NAMES, PART_IDS } from '../../../collector/contract/index.ts';
import { age } from '../../../dashboard/web/words/ages.ts';
import { byShifts, sprayHours, sprayHoursInFull } from '../../../dashboard/web/words/by-when.ts';
import { causeName, checkFirst, shortCauseName, shortestCauseName } from '../../../dashboard/web/words/names.ts';
import { compareStates, needsSomeone } from '../../../dashboard/web/words/states.ts';

const CAUSES = [
  ...PART_IDS,
  ...CHANNEL_NAMES.map((channel) => `sensor:${channel}`),
  'supply-air',
  'powder',
  'sensor:clock',
  'no-data',
];
const plain = (text: string): string => text.replace(/[\u00a0\u202f]/g, ' ');

test('every part and cause of the contract has a name of its own, and a short one for the wall', () => {
  const names = CAUSES.map(causeName);
  expect(new Set(names).size).toBe(names.length);
  for (const cause of CAUSES) {
    expect(causeName(cause)).not.toBe(cause);
    expect(shortCauseName(cause).length, cause).toBeLessThanOrEqual(16);
    expect(shortestCauseName(cause).length, cause).toBeLessThanOrEqual(14);
  }
});

test('every part has a check in few words', () => {
  for (const part of PART_IDS) expect(checkFirst(part)).not.toBe('check first');
  expect(checkFirst('pump-insert')).toBe('wear gauge first');
  expect(checkFirst('sensor:trigger')).toBe('check first');
});

test.each([
  [0, 'this shift'],
  [0.99, 'this shift'],
  [1, '1 shift'],
  [3.9, '3 shifts'],
  [-2, 'this shift'],
])('%f shifts left read "%s"', (shifts, said) => {
  expect(plain(byShifts(shifts, 'maintenance-required'))).toBe(said);
});

test('without a count of shifts a failure is for now and all else for the next stop', () => {
  expect(byShifts(null, 'failure')).toBe('at once');
  expect(byShifts(null, 'out-of-specification')).toBe('next stop');
});

test.each([
  [{ p10: 22.4, p50: 37, p90: 61.2 }, '22–61 h'],
  [{ p10: 0.2, p50: 0.6, p90: 3 }, '0–3 h'],
  [{ p10: 4.6, p50: 5, p90: 5.3 }, '5 h'],
  [{ p10: 60, p50: 80, p90: 99.4 }, '60–99 h'],
  [{ p10: 80, p50: 180, p90: 361 }, '~180 h'],
])('spray hours %o read "%s"', (hours, said) => {
  expect(plain(sprayHours(hours))).toBe(said);
});

test.each([
  [{ p10: 80, p50: 180, p90: 361 }, '~180 h'],
  [{ p10: 0.1, p50: 1.2, p90: 3 }, '~1 h'],
  [{ p10: 0.1, p50: 0.6, p90: 14 }, '<1 h'],
])('where there is little room spray hours %o read "%s"', (hours, said) => {
  expect(plain(sprayHours(hours, true))).toBe(said);
});

test.each([
  [{ p10: 22, p50: 37, p90: 61 }, 'about 37 spray hours (80 % interval: 22 to 61)'],
  [{ p10: 0.4, p50: 1.2, p90: 3 }, 'about 1 spray hour (80 % interval: 0 to 3)'],
  [{ p10: 0.1, p50: 0.6, p90: 14 }, 'less than 1 spray hour (80 % interval: 0 to 14)'],
  [{ p10: 0, p50: 0, p90: 0.4 }, 'less than 1 spray hour (80 % interval: 0 to 1)'],
])('in full the interval of %o is told: %s', (hours, said) => {
  expect(sprayHoursInFull(hours)).toBe(said);
});

test.each([
  [0, '0 s'],
  [59_999, '59 s'],
  [60_000, '1 min'],
  [3_599_999, '59 min'],
  [3_600_000, '1 h'],
  [48 * 3_600_000 - 1, '47 h'],
  [48 * 3_600_000, '2 d'],
  [-5, '0 s'],
])('an age of %i ms reads "%s"', (ms, said) => {
  expect(plain(age(ms))).toBe(said);
});

test('the four states of NE 107 need someone, worst first, and the others do not', () => {
  expect(
    ['failure', 'function-check', 'out-of-specification', 'maintenance-required'].every((s) =>
      needsSomeone(s as never),
    ),
  ).toBe(true);
  expect((['good', 'learning', 'unknown', null] as const).some(needsSomeone)).toBe(false);
  expect(compareStates('failure', 'maintenance-required')).toBeLessThan(0);
});
