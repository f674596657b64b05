import { CHANNEL_STEPS, MOST_STEPS } from '../contract/resolution.ts';
import { ByteReader, ByteWriter } from './bytes.ts';
import { addTo, MINUTE_MS, type MinuteSums, type Rollup } from './rollup.ts';

/** How a channel's numbers are written; they may be combined. */
const FLOATS = 1;
const SAME_COUNTS = 2;

/**
 * A roll-up as bytes: varint minutes, first minute f64, the gaps to the next in minutes; then by channel: u8 index, u8
 * form; the counts as varints, unless they are those of the channel before (SAME_COUNTS); then, for each minute that has
 * any, varints in steps: zigzag of the change of the least value, largest less least, sum less count times least; or
 * f64 of min, max, sum (FLOATS).
 */
export function encodeRollup(rollup: Rollup): Uint8Array {
  const out = new ByteWriter();
  const { minutes } = rollup;
  out.varint(minutes.length);
  out.f64(minutes[0] ?? 0);
  for (let i = 1; i < minutes.length; i++)
    out.varint(((minutes[i] as number) - (minutes[i - 1] as number)) / MINUTE_MS);
  let counts: Float64Array | null = null;
  for (const [channel, sums] of rollup.columns.entries()) {
    if (!sums) continue;
    out.u8(channel);
    const scale = CHANNEL_STEPS[channel] as number;
    const whole = inSteps(sums, scale, minutes.length);
    const same = counts?.every((count, i) => count === sums.count[i]) ?? false;
    out.u8((whole ? 0 : FLOATS) | (same ? SAME_COUNTS : 0));
    counts = sums.count;
    if (!same) for (const count of counts) out.varint(count);
    if (whole) writeSteps(out, sums, scale, minutes.length);
    else writeFloats(out, sums, minutes.length);
  }
  return out.written();
}

function inSteps(sums: MinuteSums, scale: number, minutes: number): boolean {
  for (let i = 0; i < minutes; i++) {
    if (sums.count[i] === 0) continue;
    for (const value of [sums.min[i] as number, sums.max[i] as number]) {
      const steps = Math.round(value * scale);
      if (steps / scale !== value || Math.abs(steps) > MOST_STEPS) return false;
    }
    if (!Number.isSafeInteger(sums.sum[i] as number)) return false;
  }
  return true;
}

function writeSteps(out: ByteWriter, sums: MinuteSums, scale: number, minutes: number): void {
  let before = 0;
  for (let i = 0; i < minutes; i++) {
    const count = sums.count[i] as number;
    if (count === 0) continue;
    const min = Math.round((sums.min[i] as number) * scale);
    const change = min - before;
    out.varint(change < 0 ? -2 * change - 1 : 2 * change);
    out.varint(Math.round((sums.max[i] as number) * scale) - min);
    out.varint((sums.sum[i] as number) - count * min);
    before = min;
  }
}

function writeFloats(out: ByteWriter, sums: MinuteSums, minutes: number): void {
  for (let i = 0; i < minutes; i++)
    if (sums.count[i] !== 0) for (const part of [sums.min, sums.max, sums.sum]) out.f64(part[i] as number);
}

/** Where the minutes of roll-ups are gathered. */
export interface MinuteSink {
  /** Row for a minute, by its start. */
  rowOf(minute: number): number;
  /** Sums of a channel, with room for every row. */
  sumsOf(channel: number): MinuteSums;
}

/** Adds the wanted channels of a roll-up to the sums of a sink. */
export function addRollup(bytes: Uint8Array, wanted: number, sink: MinuteSink): void {
  const input = new ByteReader(bytes);
  const rows = new Uint32Array(input.varint());
  let minute = input.f64();
  for (let i = 0; i < rows.length; i++) {
    if (i > 0) minute += input.varint() * MINUTE_MS;
    rows[i] = sink.rowOf(minute);
  }
  const counts = new Uint32Array(rows.length);
  while (!input.done) {
    const channel = input.u8();
    const form = input.u8();
    const sums = (wanted & (1 << channel)) !== 0 ? sink.sumsOf(channel) : null;
    if ((form & SAME_COUNTS) === 0) for (let i = 0; i < counts.length; i++) counts[i] = input.varint();
    if ((form & FLOATS) === 0) addSteps(input, rows, counts, CHANNEL_STEPS[channel] ?? 1, sums);
    else addFloats(input, rows, counts, sums);
  }
}

function addSteps(
  input: ByteReader,
  rows: Uint32Array,
  counts: Uint32Array,
  scale: number,
  sums: MinuteSums | null,
): void {
  let min = 0;
  for (let i = 0; i < rows.length; i++) {
    const count = counts[i] as number;
    if (count === 0) continue;
    const zigzag = input.varint();
    min += zigzag % 2 === 1 ? -(zigzag + 1) / 2 : zigzag / 2;
    const range = input.varint();
    const sum = input.varint() + count * min;
    if (sums) addTo(sums, rows[i] as number, count, min / scale, (min + range) / scale, sum);
  }
}

function addFloats(input: ByteReader, rows: Uint32Array, counts: Uint32Array, sums: MinuteSums | null): void {
  for (let i = 0; i < rows.length; i++) {
    const count = counts[i] as number;
    if (count === 0) continue;
    const [min, max, sum] = [input.f64(), input.f64(), input.f64()];
    if (sums) addTo(sums, rows[i] as number, count, min, max, sum);
  }
}
