import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { parseTime } from '../../../collector/contract/index.ts';
import { TimeBytes } from '../../../collector/decode/time-bytes.ts';

const reader = new TimeBytes();
/** What the byte reader makes of a cell; null where it gives up or does not reach the end. */
const readBytes = (text: string, end: string): number | null => {
  const bytes = Buffer.from(text + end);
  return reader.read(bytes, 0) === text.length ? reader.ms : null;
};

describe('TimeBytes', () => {
  it('never reads differently from parseTime', () => {
    const digits = (length: number) => fc.nat(10 ** length - 1).map((n) => String(n).padStart(length, '0'));
    const iso = fc
      .tuple(
        fc.constantFrom('1999', '2024', '2026', '9999', '0050', '20x6'),
        digits(2),
        fc.oneof(digits(2), fc.constantFrom('29', '30', '31')),
        fc.constantFrom('T', ' ', 't'),
        digits(2),
        digits(2),
        digits(2),
        fc.constantFrom('', '.', '.5', '.25', '.123', '.1234', '.9999'),
        fc.constantFrom('Z', '', 'z', '+01:00', '-03:30', '+0100', '+01', '+24:00', 'Zx'),
      )
      .map(([y, mo, d, t, h, mi, s, f, z]) => `${y}-${mo}-${d}${t}${h}:${mi}:${s}${f}${z}`);
    const unix = fc
      .tuple(fc.nat(2_000_000_000), fc.constantFrom('', '.', '.5', '.25', '.123', '.1234', 'e1', '000000', ' '))
      .map(([n, rest]) => `${n}${rest}`);
    const text = fc.oneof(
      iso,
      unix,
      fc.string({ maxLength: 25 }).filter((cell) => !/[,\r\n]/.test(cell)),
    );
    let compared = 0;
    fc.assert(
      fc.property(text, fc.constantFrom(',', '\n', '\r\n'), (cell, end) => {
        const ms = readBytes(cell, end);
        if (ms === null) return;
        compared++;
        expect(ms).toBe(parseTime(cell));
      }),
      { numRuns: 5000 },
    );
    expect(compared).toBeGreaterThan(300);
  });

  it.each(['2026-03-02T09:10:00+01:00', '2026-03-02T09:10:00.123Z', '1758513001.5', '1758513001'])(
    'reads %s itself',
    (text) => {
      expect(readBytes(text, ',')).toBe(parseTime(text));
    },
  );
});
