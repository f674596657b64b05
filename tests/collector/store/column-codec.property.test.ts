import fc from 'fast-check';
import { expect, test } from 'vitest';
import { ByteReader, ByteWriter } from '../../../collector/store/bytes.ts';
import { decodeColumn, encodeColumn } from '../../../collector/store/column-codec.ts';

const whole = fc.integer({ min: -(2 ** 31), max: 2 ** 31 - 1 });
const decimal = fc.integer({ min: -50_000, max: 200_000 }).map((steps) => steps / 10_000 + 0);
const time = fc.integer({ min: 1_700_000_000_000, max: 1_900_000_000_000 });
const float = fc.double({ noNaN: true }).map((value) => value + 0);
const single = fc.float({ noNaN: true }).map((value) => value + 0);

function gaps(values: fc.Arbitrary<number>): fc.Arbitrary<number[]> {
  return fc.array(fc.option(values, { nil: Number.NaN, freq: 4 }), { maxLength: 300 });
}

function roundTrip(values: readonly number[], scales: readonly number[]): { read: number[]; bytes: number } {
  const out = new ByteWriter();
  encodeColumn(out, Float64Array.from(values), values.length, scales);
  const bytes = out.written();
  const column = new Float64Array(values.length + 5).fill(-1);
  const input = new ByteReader(bytes);
  decodeColumn(input, values.length, column, 3);
  expect(input.done).toBe(true);
  expect([column[2], column[values.length + 3]]).toEqual([-1, -1]);
  return { read: [...column.subarray(3, values.length + 3)], bytes: bytes.length };
}

test('a column of any numbers and gaps comes back bit for bit', () => {
  for (const values of [whole, decimal, time, float, single])
    fc.assert(
      fc.property(gaps(values), (column) => {
        expect(roundTrip(column, [1, 1e4]).read).toEqual(column);
      }),
    );
});

test('a column that mixes all kinds comes back bit for bit', () => {
  fc.assert(
    fc.property(gaps(fc.oneof(whole, decimal, time, float, single)), (column) => {
      expect(roundTrip(column, [1, 1e4]).read).toEqual(column);
    }),
  );
});

test('stretches of values and of gaps come back bit for bit, wherever they begin and end', () => {
  const stretch = fc.tuple(fc.integer({ min: 1, max: 40 }), fc.option(decimal, { nil: Number.NaN, freq: 1 }));
  fc.assert(
    fc.property(fc.array(stretch, { maxLength: 12 }), (stretches) => {
      const column = stretches.flatMap(([rows, value]) => Array.from({ length: rows }, (_, row) => value + row));
      expect(roundTrip(column, [1, 1e4]).read).toEqual(column);
    }),
  );
});

test('minus zero comes back as zero', () => {
  expect(roundTrip([-0, 1], [1]).read).toEqual([0, 1]);
});

test('decimals of a sensor with two digits and a range of 255 steps take one byte each', () => {
  const values = Array.from({ length: 256 }, (_, i) => (200 + ((i * 97) % 256)) / 100);
  expect(roundTrip(values, [1, 1e4]).bytes).toBe(1 + 1 + 3 * 8 + 256);
});

test('each width of whole numbers is right up to its largest and one beyond', () => {
  for (const top of [255, 256, 65_535, 65_536, 16_777_215, 16_777_216, 2 ** 32 - 1, 2 ** 32])
    expect(roundTrip([0, top, 1, top, 0], [1]).read).toEqual([0, top, 1, top, 0]);
});
