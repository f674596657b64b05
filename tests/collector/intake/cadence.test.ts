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

test('what a node sends at the pace of spraying after the trigger is released is not taken for its idle interval', () => {
  const pulls: [number, boolean][] = [];
  for (let begun = 0; begun < 400; begun += 50)
    for (const second of [0, 6, 12]) pulls.push([begun + second, true], [begun + second + 18, false]);
  const reports = pulls.sort(([left], [right]) => left - right);
  const cadence = after(...reports);
  expect(cadence.intervalMs()).toBe(20_000);
  const [last] = reports.at(-1)!;
  for (const second of [45, 90]) cadence.report((last + second) * 1000, false);
  expect(cadence.intervalMs()).toBe(45_000);
  // A pull cuts the next gap short.
  cadence.report((last + 91) * 1000, true);
  cadence.report((last + 97) * 1000, false);
  expect(cadence.intervalMs()).toBe(45_000);
});

test('an idle node that is as quick as before is found out within a minute', () => {
  const cadence = after([0, true], [1, true], [2, true]);
  for (let second = 3; second <= 32; second++) cadence.report(second * 1000, false);
  expect(cadence.intervalMs()).toBe(20_000);
  for (const second of [33, 34]) cadence.report(second * 1000, false);
  expect(cadence.intervalMs()).toBe(1000);
  cadence.report(35_000, true);
  cadence.report(36_000, false);
  expect(cadence.intervalMs()).toBe(1000);
});

test('a point without a trigger that has sent stored readings is given the time between those until two gaps were seen', () => {
  const cadence = new Cadence();
  cadence.heardBefore(60_000);
  expect(cadence.intervalMs()).toBe(60_000);
  cadence.heardBefore(16 * MINUTE);
  cadence.heardBefore();
  cadence.report(0, null);
  cadence.report(5000, null);
  expect(cadence.intervalMs()).toBe(60_000);
  cadence.report(10_000, null);
  expect(cadence.intervalMs()).toBe(5000);
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
