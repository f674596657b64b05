import { expect, test } from 'vitest';
import { Throttle } from '../../../../dashboard/server/access/throttle.ts';

const HOME = '192.0.2.7';
const ELSEWHERE = '198.51.100.9';

function after(tries: number, name = 'anna', address = HOME): Throttle {
  const throttle = new Throttle();
  for (let count = 0; count < tries; count += 1) throttle.tried(name, address, 0);
  return throttle;
}

test('four wrong passwords pass unhindered, and from the fifth on every next try waits twice as long', () => {
  const waits = [4, 5, 6, 7, 8].map((tries) => after(tries).waitMs('anna', HOME, false, 0));
  expect(waits).toEqual([0, 1000, 2000, 4000, 8000]);
});

test('the wait passes with time, and is never longer than five minutes for a name from an address', () => {
  const throttle = after(15);
  expect(throttle.waitMs('anna', HOME, true, 0)).toBe(300_000);
  expect(throttle.waitMs('anna', HOME, true, 299_999)).toBe(1);
  expect(throttle.waitMs('anna', HOME, true, 300_000)).toBe(0);
});

test('a clock that was set back makes nobody wait longer', () => {
  expect(after(15).waitMs('anna', HOME, true, -3_600_000)).toBe(300_000);
});

test('whoever guesses somebody’s password keeps them out neither elsewhere nor where they are known', () => {
  const throttle = after(1000, 'anna', ELSEWHERE);
  expect(throttle.waitMs('anna', ELSEWHERE, false, 0)).toBe(900_000);
  expect(throttle.waitMs('anna', HOME, true, 0)).toBe(0);
  expect(throttle.waitMs('boris', HOME, false, 0)).toBe(0);
});

test('a name that is tried from everywhere makes strangers wait a minute at most', () => {
  const throttle = new Throttle();
  for (let from = 0; from < 200; from += 1) throttle.tried('anna', `198.51.100.${from}`, 0);
  expect(throttle.waitMs('anna', '203.0.113.1', false, 0)).toBe(60_000);
  expect(throttle.waitMs('anna', HOME, true, 0)).toBe(0);
});

test('an address that tries many names waits, also for the next name', () => {
  const throttle = new Throttle();
  for (let count = 0; count < 30; count += 1) throttle.tried(`name ${count}`, HOME, 0);
  expect(throttle.waitMs('another', HOME, false, 0)).toBeGreaterThan(0);
  expect(throttle.waitMs('another', HOME, true, 0)).toBe(0);
});

test('a right password forgets the wrong ones before it', () => {
  const throttle = after(4);
  throttle.tried('anna', HOME, 0);
  throttle.succeeded('anna', HOME);
  throttle.tried('anna', HOME, 0);
  expect(throttle.waitMs('anna', HOME, false, 0)).toBe(0);
});

test('an hour without a try forgets', () => {
  const throttle = after(10);
  throttle.tried('anna', HOME, 3_600_000);
  expect(throttle.waitMs('anna', HOME, false, 3_600_000)).toBe(0);
});

test('what is remembered is bounded', () => {
  const throttle = after(10);
  for (let count = 0; count < 40_000; count += 1) throttle.tried('x', `address ${count}`, 0);
  expect(throttle.waitMs('anna', HOME, false, 0)).toBe(0);
});
