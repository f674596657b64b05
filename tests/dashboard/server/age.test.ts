import { expect, test } from 'vitest';
import { ageSeconds, lostAfterMs } from '../../../dashboard/server/age.ts';

test('data counts as lost after three reporting intervals', () => {
  expect(lostAfterMs(5000)).toBe(15_000);
});

test('but never before 10 s', () => {
  expect(lostAfterMs(1000)).toBe(10_000);
  expect(lostAfterMs(3333)).toBe(10_000);
  expect(lostAfterMs(3334)).toBe(10_002);
  expect(lostAfterMs(null)).toBe(10_000);
});

test('ages are told to a tenth of a second and are never negative', () => {
  expect(ageSeconds(1000, 3449)).toBe(2.4);
  expect(ageSeconds(5000, 3000)).toBe(0);
});
