import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  formatTime,
  LATEST_MS,
  NO_OFFSET,
  parseIsoTime,
  parseTime,
  UNREADABLE,
} from '../../../collector/contract/time.ts';

describe('parseTime', () => {
  it.each([
    ['2026-03-02T09:10:00Z', Date.UTC(2026, 2, 2, 9, 10)],
    ['2026-03-02T09:10:00.123456Z', Date.UTC(2026, 2, 2, 9, 10, 0, 123)],
    ['2026-03-02T09:10:00.9996Z', Date.UTC(2026, 2, 2, 9, 10, 1)],
    ['2026-03-02T09:10:00,5Z', Date.UTC(2026, 2, 2, 9, 10, 0, 500)],
    ['2026-03-02T09:10+01:00', Date.UTC(2026, 2, 2, 8, 10)],
    ['2026-03-02T09:10:00-0330', Date.UTC(2026, 2, 2, 12, 40)],
    ['2026-03-02T00:10:00+02', Date.UTC(2026, 2, 1, 22, 10)],
    ['2026-03-02 09:10:00z', Date.UTC(2026, 2, 2, 9, 10)],
    ['20260302T091000Z', Date.UTC(2026, 2, 2, 9, 10)],
    ['2024-02-29T24:00:00Z', Date.UTC(2024, 2, 1)],
    // Source: IERS Bulletin C 52: a leap second ended 2016.
    ['2016-12-31T23:59:60Z', Date.UTC(2017, 0, 1)],
    ['2017-01-01T00:59:60+01:00', Date.UTC(2017, 0, 1)],
    ['1758513001.5', 1_758_513_001_500],
    ['1758513001', 1_758_513_001_000],
    [' 1758513001.0006 ', 1_758_513_001_001],
    ['1.758513001e9', 1_758_513_001_000],
    ['-1', -1000],
  ])('reads %s', (text, expected) => {
    expect(parseTime(text)).toBe(expected);
  });

  it.each(['2026-03-02T09:10:00', '2026-03-02T09:10', '2026-03-02', '20260302T091000'])(
    'misses the offset in %s',
    (text) => {
      expect(parseTime(text)).toBe(NO_OFFSET);
    },
  );

  it.each([
    '',
    'yesterday',
    '2026-02-29T00:00:00Z',
    '2026-13-01T00:00:00Z',
    '2026-00-01T00:00:00Z',
    '2026-01-00T00:00:00Z',
    '2026-01-01T25:00:00Z',
    '2026-01-01T24:00:01Z',
    '2026-01-01T10:60:00Z',
    '2026-01-01T10:59:60Z',
    '2026-01-01T10:00:61Z',
    '2026-01-01T10:00:00+24:00',
    '2026-01-01T10:00:00+01:60',
    '02.03.2026 09:10',
    '1758513001500000',
    '1758513001500',
    'NaN',
    '0x10',
    '2026-01-01T10:00:00Z ; x',
  ])('finds %s unreadable', (text) => {
    expect(parseTime(text)).toBe(UNREADABLE);
  });

  it('reads back every time that it writes', () => {
    fc.assert(
      fc.property(fc.integer({ min: -62_167_219_200_000, max: LATEST_MS }), (ms) => {
        fc.pre(ms >= Date.UTC(100, 0, 1));
        expect(parseIsoTime(formatTime(ms))).toBe(ms);
      }),
    );
  });

  it('agrees with the platform on dates with offsets', () => {
    const part = (max: number, min = 0) => fc.integer({ min, max });
    fc.assert(
      fc.property(part(2200, 1900), part(13), part(32), part(23), part(59), part(59), part(14), part(59), (...p) => {
        const [y, mo, d, h, mi, s, oh, om] = p.map((n) => String(n).padStart(2, '0'));
        const text = `${y}-${mo}-${d}T${h}:${mi}:${s}+${oh}:${om}`;
        const asUtc = new Date(`${y}-${mo}-${d}T00:00:00Z`);
        // The platform lets 31 February pass into March.
        const exists = !Number.isNaN(asUtc.getTime()) && asUtc.getUTCDate() === Number(d);
        expect(parseIsoTime(text)).toBe(exists ? Date.parse(text) : UNREADABLE);
      }),
    );
  });
});
