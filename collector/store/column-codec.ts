import { MOST_STEPS } from '../contract/resolution.ts';
import type { ByteReader, ByteWriter } from './bytes.ts';

/*
 * One column of numbers as bytes, ready to be deflated; NaN is "nothing here". What comes out is bit for bit what went in (-0 becomes 0).
 *
 *   mode    u8: CONSTANT, DELTAS, OFFSETS, FLOAT32 or FLOAT64; + SPARSE when a bitmap of the rows that have a value follows
 *   bitmap  (rows + 7) / 8 bytes, lowest bit first
 *   then    whole-number modes: u8 bytes a number, f64 base, f64 step, f64 scale; value = (base + k * step) / scale,
 *           k being the number's own (OFFSETS) or the sum of zigzag differences up to it (DELTAS)
 *   numbers as planes: the lowest bytes of all of them, then the next ones: noise and order apart, as deflate likes it
 */
const CONSTANT = 0;
const DELTAS = 1;
const OFFSETS = 2;
const FLOAT32 = 3;
const FLOAT64 = 4;
const SPARSE = 0x80;
const LARGEST = 2 ** 32 - 1;

/**
 * @param values rows of the column; NaN where there is nothing
 * @param scales tried in this order: with the first by which every value is a whole number divided, whole
 * numbers are written; with none of them floats
 */
export function encodeColumn(out: ByteWriter, values: Float64Array, rows: number, scales: readonly number[]): void {
  const present = new Float64Array(rows);
  let count = 0;
  for (let row = 0; row < rows; row++) {
    const value = values[row] as number;
    if (!Number.isNaN(value)) present[count++] = value;
  }
  const dense = present.subarray(0, count);
  const whole = wholeNumbers(dense, scales);
  const mode = whole ? whole.mode : dense.every((value) => Math.fround(value) === value) ? FLOAT32 : FLOAT64;
  out.u8(mode | (count < rows ? SPARSE : 0));
  if (count < rows) writeBitmap(out, values, rows);
  if (whole) {
    out.u8(whole.width);
    out.f64(whole.base);
    out.f64(whole.step);
    out.f64(whole.scale);
    if (whole.width > 0) out.planes(new Uint8Array(whole.numbers.buffer), 4, whole.width, count);
  } else {
    const floats = mode === FLOAT32 ? Float32Array.from(dense) : dense.slice();
    out.planes(new Uint8Array(floats.buffer), floats.BYTES_PER_ELEMENT, floats.BYTES_PER_ELEMENT, count);
  }
}

interface WholeNumbers {
  readonly mode: number;
  readonly width: number;
  readonly base: number;
  readonly step: number;
  readonly scale: number;
  readonly numbers: Uint32Array;
}

function wholeNumbers(dense: Float64Array, scales: readonly number[]): WholeNumbers | null {
  const units = new Float64Array(dense.length);
  for (const scale of scales) if (toWhole(dense, scale, units)) return differences(units, scale);
  return null;
}

function toWhole(dense: Float64Array, scale: number, units: Float64Array): boolean {
  for (let i = 0; i < dense.length; i++) {
    const value = dense[i] as number;
    const whole = Math.round(value * scale);
    if (whole / scale !== value || !Number.isSafeInteger(whole)) return false;
    units[i] = whole;
  }
  return true;
}

/** Differences to the one before or to the smallest, whichever are smaller on the whole. */
function differences(units: Float64Array, scale: number): WholeNumbers | null {
  const count = units.length;
  const first = units[0] ?? 0;
  let smallest = first;
  let largest = first;
  let step = 0;
  for (let i = 1; i < count; i++) {
    const value = units[i] as number;
    if (value < smallest) smallest = value;
    if (value > largest) largest = value;
    if (step !== 1) step = commonStep(step, Math.abs(value - first));
  }
  const numbers = new Uint32Array(count);
  if (step === 0) return { mode: CONSTANT, width: 0, base: first + 0, step: 1, scale, numbers };
  const centre = (smallest + largest) / 2;
  let sumOfDeltas = 0;
  let sumOfOffsets = 0;
  let largestDelta = 0;
  for (let i = 1; i < count; i++) {
    const delta = Math.abs((units[i] as number) - (units[i - 1] as number));
    sumOfDeltas += delta;
    if (delta > largestDelta) largestDelta = delta;
    sumOfOffsets += Math.abs((units[i] as number) - centre);
  }
  const mode = sumOfDeltas < sumOfOffsets ? DELTAS : OFFSETS;
  const top = mode === DELTAS ? (2 * largestDelta) / step : (largest - smallest) / step;
  if (top > LARGEST) return null;
  if (mode === DELTAS)
    for (let i = 1; i < count; i++) {
      const delta = ((units[i] as number) - (units[i - 1] as number)) / step;
      numbers[i] = delta < 0 ? -2 * delta - 1 : 2 * delta;
    }
  else for (let i = 0; i < count; i++) numbers[i] = ((units[i] as number) - smallest) / step;
  const width = top < 2 ** 8 ? 1 : top < 2 ** 16 ? 2 : top < 2 ** 24 ? 3 : 4;
  return { mode, width, base: (mode === DELTAS ? first : smallest) + 0, step, scale, numbers };
}

/** Greatest common divisor of a step so far (0: none) and one more distance. */
function commonStep(step: number, distance: number): number {
  if (step === 0 || distance === 0) return step + distance;
  // Mostly it fits already, and 32 bits are divided many times faster.
  if (step < MOST_STEPS && distance < MOST_STEPS) {
    if ((distance | 0) % (step | 0) === 0) return step;
  } else if (distance % step === 0) return step;
  let a = distance;
  let b = step;
  while (b > 0) [a, b] = [b, a % b];
  return a;
}

function writeBitmap(out: ByteWriter, values: Float64Array, rows: number): void {
  const bitmap = new Uint8Array((rows + 7) >> 3);
  for (let row = 0; row < rows; row++) if (!Number.isNaN(values[row] as number)) bitmap[row >> 3]! |= 1 << (row & 7);
  out.bytes(bitmap);
}

/** Reads one column into `out[at]` … `out[at + rows - 1]`. */
export function decodeColumn(input: ByteReader, rows: number, out: Float64Array, at: number): void {
  const tag = input.u8();
  const bitmap = tag & SPARSE ? input.bytes((rows + 7) >> 3) : null;
  const count = bitmap ? countBits(bitmap) : rows;
  if (count > rows) throw new RangeError(`${count} values of ${rows} rows`);
  // Packed at the end of the rows first, then spread from the front: the place read is never behind the one written.
  const start = at + rows - count;
  readDense(input, tag & ~SPARSE, count, out, start);
  if (count === 0) out.fill(Number.NaN, at, at + rows);
  else if (bitmap) {
    let from = start;
    for (let row = 0; row < rows; row += 8) {
      const bits = bitmap[row >> 3]!;
      const to = at + Math.min(row + 8, rows);
      // Values come and stay away in rows.
      if (bits === 0) for (let place = at + row; place < to; place++) out[place] = Number.NaN;
      else if (bits === 0xff) for (let place = at + row; place < to; place++) out[place] = out[from++]!;
      else
        for (let bit = 0; at + row + bit < to; bit++)
          out[at + row + bit] = bits & (1 << bit) ? out[from++]! : Number.NaN;
    }
  }
}

/** Passes over one column. */
export function skipColumn(input: ByteReader, rows: number): void {
  const tag = input.u8();
  const count = tag & SPARSE ? countBits(input.bytes((rows + 7) >> 3)) : rows;
  const mode = tag & ~SPARSE;
  if (mode === FLOAT32 || mode === FLOAT64) input.skip((mode === FLOAT32 ? 4 : 8) * count);
  else {
    const width = input.u8();
    input.skip(3 * 8 + width * count);
  }
}

function readDense(input: ByteReader, mode: number, count: number, out: Float64Array, start: number): void {
  if (mode === FLOAT32 || mode === FLOAT64) {
    const numbers = mode === FLOAT32 ? new Float32Array(count) : out.subarray(start, start + count);
    input.planes(numbers);
    if (mode === FLOAT32) out.set(numbers, start);
    return;
  }
  const width = input.u8();
  const base = input.f64();
  const step = input.f64();
  const scale = input.f64();
  const raw = input.bytes(width * count);
  if (mode === CONSTANT) out.fill(base / scale, start, start + count);
  else if (mode === DELTAS) readDeltas(raw, width, count, base, step, scale, out, start);
  else readOffsets(raw, width, count, base, step, scale, out, start);
}

function readDeltas(
  raw: Uint8Array,
  width: number,
  count: number,
  base: number,
  step: number,
  scale: number,
  out: Float64Array,
  start: number,
): void {
  let sum = base;
  for (let i = 0; i < count; i++) {
    let zigzag = raw[i] as number;
    if (width > 1) zigzag |= (raw[count + i] as number) << 8;
    if (width > 2) zigzag |= (raw[2 * count + i] as number) << 16;
    if (width > 3) zigzag |= (raw[3 * count + i] as number) << 24;
    sum += ((zigzag >>> 1) ^ -(zigzag & 1)) * step;
    out[start + i] = sum / scale;
  }
}

function readOffsets(
  raw: Uint8Array,
  width: number,
  count: number,
  base: number,
  step: number,
  scale: number,
  out: Float64Array,
  start: number,
): void {
  for (let i = 0; i < count; i++) {
    let offset = raw[i] as number;
    if (width > 1) offset |= (raw[count + i] as number) << 8;
    if (width > 2) offset |= (raw[2 * count + i] as number) << 16;
    if (width > 3) offset |= (raw[3 * count + i] as number) << 24;
    out[start + i] = (base + (offset >>> 0) * step) / scale;
  }
}

function countBits(bitmap: Uint8Array): number {
  let count = 0;
  for (let at = 0; at < bitmap.length; at++) count += BITS[bitmap[at]!]!;
  return count;
}

/** How many bits of a byte are set. */
const BITS = Uint8Array.from({ length: 256 }, (_, byte) => {
  let count = 0;
  for (let rest = byte; rest !== 0; rest &= rest - 1) count++;
  return count;
});
