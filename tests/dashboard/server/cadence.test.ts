import { expect, test } from 'vitest';
import { Cadence } from '../../../dashboard/server/cadence.ts';

const MINUTE = 60_000;

/** Shows reports of one station: [time in s, trigger]. */
function after(...reports: [number, boolean?][]): Cadence {
  const cadence = new Cadence();
  for (const [seconds, trigger] of reports) {
    const time = seconds * 1000;
    const values = trigger === undefined ? {} : { trigger: { time, value: trigger } };
    cadence.observe({ station: 'gun-01', time, receivedAt: time, intervalMs: null, values });
  }
  return cadence;
}

test('nothing is known before two gaps', () => {
  expect(after([0], [5]).intervalMs('gun-01')).toBeNull();
  expect(after([0], [5], [10]).intervalMs('gun-01')).toBe(5000);
  expect(new Cadence().intervalMs('gun-02')).toBeNull();
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
  expect(after(...reports).intervalMs('gun-01')).toBe(45_000);
  expect(after(...reports, [94, true]).intervalMs('gun-01')).toBe(1000);
});

test('one lost report does not stretch the interval, and an outage never does', () => {
  expect(after([0], [5], [10], [300], [305]).intervalMs('gun-01')).toBe(5000);
  const far = (16 * MINUTE) / 1000;
  expect(after([0], [5], [10], [10 + far], [10 + 2 * far], [10 + 3 * far]).intervalMs('gun-01')).toBe(5000);
});

test('repeated and older reports change nothing', () => {
  expect(after([0], [5], [10], [10], [4], [10]).intervalMs('gun-01')).toBe(5000);
});

test('a station that changes its ways is followed', () => {
  const cadence = after(
    ...Array.from({ length: 30 }, (_, i): [number] => [i]),
    ...Array.from({ length: 20 }, (_, i): [number] => [100 + 10 * i]),
  );
  expect(cadence.intervalMs('gun-01')).toBe(10_000);
});
