import { expect, test } from 'vitest';
import { Cadence } from '../../../collector/intake/cadence.ts';

const MINUTE = 60_000;

/** Shows reports of one station: [time in s, trigger]. */
function after(...reports: [number, boolean?][]): Cadence {
  const cadence = new Cadence();
  for (const [seconds, trigger] of reports) cadence.report(seconds * 1000, trigger ?? null);
  return cadence;
}

test('nothing is known before two gaps', () => {
  expect(after([0], [5]).intervalMs()).toBeNull();
  expect(after([0], [5], [10]).intervalMs()).toBe(5000);
  expect(new Cadence().intervalMs()).toBeNull();
});

test('a node that reports more slowly when idle is given its idle interval when idle', () => {
  const reports: [number, boolean][] = [
    [0, true],
    [1, true],
    [2, true],
    [3, false],
    [48, false],
    [93, false],
  ];
  expect(after(...reports).intervalMs()).toBe(45_000);
  expect(after(...reports, [94, true]).intervalMs()).toBe(1000);
});

test('a gun that has just stopped spraying is given time until its idle interval is known', () => {
  expect(after([0, true], [1, true], [2, true], [3, false]).intervalMs()).toBe(20_000);
  expect(after([0, false], [1, false]).intervalMs()).toBeNull();
});

test('one lost report does not stretch the interval, and an outage never does', () => {
  expect(after([0], [5], [10], [300], [305]).intervalMs()).toBe(5000);
  const far = (16 * MINUTE) / 1000;
  expect(after([0], [5], [10], [10 + far], [10 + 2 * far], [10 + 3 * far]).intervalMs()).toBe(5000);
});

test('repeated and older reports change nothing', () => {
  expect(after([0], [5], [10], [10], [4], [10]).intervalMs()).toBe(5000);
});

test('a station that changes its ways is followed', () => {
  const cadence = after(
    ...Array.from({ length: 30 }, (_, i): [number] => [i]),
    ...Array.from({ length: 20 }, (_, i): [number] => [100 + 10 * i]),
  );
  expect(cadence.intervalMs()).toBe(10_000);
});
