import { describe, expect, it } from 'vitest';
import { afterQuiet, lastAt, localText } from '../../../dashboard/telling/local-times.ts';
import { nextTry } from '../../../dashboard/telling/retry.ts';

const ZONE = 'Europe/Vienna';
const local = (text: string): number => Date.parse(text);
const NIGHT = { from: '22:00', to: '06:00' };

describe('quiet hours', () => {
  it('hold back until they end, also past midnight, and not on their limits', () => {
    expect(afterQuiet(NIGHT, ZONE, local('2026-01-07T21:59:59+01:00'))).toBe(local('2026-01-07T21:59:59+01:00'));
    expect(afterQuiet(NIGHT, ZONE, local('2026-01-07T22:00:00+01:00'))).toBe(local('2026-01-08T06:00:00+01:00'));
    expect(afterQuiet(NIGHT, ZONE, local('2026-01-08T05:59:59+01:00'))).toBe(local('2026-01-08T06:00:00+01:00'));
    expect(afterQuiet(NIGHT, ZONE, local('2026-01-08T06:00:00+01:00'))).toBe(local('2026-01-08T06:00:00+01:00'));
    expect(afterQuiet({ from: '12:00', to: '13:00' }, ZONE, local('2026-01-08T12:30:00+01:00'))).toBe(
      local('2026-01-08T13:00:00+01:00'),
    );
    expect(afterQuiet({ from: '', to: '06:00' }, ZONE, 5)).toBe(5);
  });

  it('end at the same local time when daylight saving begins and ends in them', () => {
    // Source: Directive 2000/84/EC: summer time begins on 29 March 2026 and ends on 25 October 2026 at 01:00 UTC.
    expect(afterQuiet(NIGHT, ZONE, local('2026-03-28T23:00:00+01:00'))).toBe(local('2026-03-29T06:00:00+02:00'));
    expect(afterQuiet(NIGHT, ZONE, local('2026-10-24T23:00:00+02:00'))).toBe(local('2026-10-25T06:00:00+01:00'));
  });
});

describe('the time of the digest', () => {
  it('is the newest that has passed, on the plant’s date', () => {
    expect(lastAt('06:30', ZONE, local('2026-01-07T06:29:59+01:00'))).toEqual({
      time: local('2026-01-06T06:30:00+01:00'),
      date: '2026-01-06',
    });
    expect(lastAt('06:30', ZONE, local('2026-01-07T06:30:00+01:00')).date).toBe('2026-01-07');
  });

  it('comes once a day when its hour is skipped or comes twice', () => {
    expect(lastAt('02:30', ZONE, local('2026-03-29T12:00:00+02:00')).time).toBe(local('2026-03-29T03:30:00+02:00'));
    expect(lastAt('02:30', ZONE, local('2026-10-25T02:45:00+01:00'))).toEqual({
      time: local('2026-10-25T02:30:00+02:00'),
      date: '2026-10-25',
    });
    expect(localText(local('2026-10-25T02:30:00+02:00'), ZONE)).toBe('2026-10-25 02:30');
  });
});

describe('trying again', () => {
  it('waits longer each time, an hour at most, and gives up after two days', () => {
    const pauses = [1, 2, 3, 7, 8, 20].map((attempts) => nextTry({ createdAt: 0, attempts }, 0, 1)! / 1000);
    expect(pauses).toEqual([30, 60, 120, 1920, 3600, 3600]);
    expect(nextTry({ createdAt: 0, attempts: 9 }, 47 * 3_600_000, 0.99)).not.toBeNull();
    expect(nextTry({ createdAt: 0, attempts: 9 }, 48 * 3_600_000, 0)).toBeNull();
  });
});
