import { CHANNEL_STEPS, MOST_STEPS } from '../contract/resolution.ts';
import { ByteReader, ByteWriter } from './bytes.ts';
import { addTo, MINUTE_MS, type MinuteSums, type Rollup } from './rollup.ts';

/**
 * A roll-up as bytes: varint minutes, first minute f64, the gaps to the next in minutes; then by channel: u8 index,
 * u8 0 and by minute varints: count, and where that is not 0 zigzag of the change of the least value, largest less
 * least, sum less count times least, all in steps; or u8 1 and f64 of count, min, max, sum.
 */
export function encodeRollup(rollup: Rollup): Uint8Array {
  const out = new ByteWriter();
  const { minutes } = rollup;
  out.varint(minutes.length);
  out.f64(minutes[0] ?? 0);
  for (let i = 1; i < minutes.length; i++)
    out.varint(((minutes[i] as number) - (minutes[i - 1] as number)) / MINUTE_MS);
  for (const [channel, sums] of rollup.columns.entries()) {
    if (!sums) continue;
    out.u8(channel);
    const scale = CHANNEL_STEPS[channel] as number;
    const whole = inSteps(sums, scale, minutes.length);
    out.u8(whole ? 0 : 1);
    if (whole) writeSteps(out, sums, scale, minutes.length);
    else for (const part of [sums.count, sums.min, sums.max, sums.sum]) for (const value of part) out.f64(value);
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
    out.varint(count);
    if (count === 0) continue;
    const min = Math.round((sums.min[i] as number) * scale);
    const change = min - before;
    out.varint(change < 0 ? -2 * change - 1 : 2 * change);
    out.varint(Math.round((sums.max[i] as number) * scale) - min);
    out.varint((sums.sum[i] as number) - count * min);
    before = min;
  }
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
  while (!input.done) {
    const channel = input.u8();
    const steps = input.u8() === 0;
    const sums = (wanted & (1 << channel)) !== 0 ? sink.sumsOf(channel) : null;
    if (steps) addSteps(input, rows, CHANNEL_STEPS[channel] ?? 1, sums);
    else addFloats(input, rows, sums);
  }
}

function addSteps(input: ByteReader, rows: Uint32Array, scale: number, sums: MinuteSums | null): void {
  let min = 0;
  for (let i = 0; i < rows.length; i++) {
    const count = input.varint();
    if (count === 0) continue;
    const zigzag = input.varint();
    min += zigzag % 2 === 1 ? -(zigzag + 1) / 2 : zigzag / 2;
    const range = input.varint();
    const sum = input.varint() + count * min;
    if (sums) addTo(sums, rows[i] as number, count, min / scale, (min + range) / scale, sum);
  }
}

function addFloats(input: ByteReader, rows: Uint32Array, sums: MinuteSums | null): void {
  const [count, min, max, sum] = [0, 1, 2, 3].map(() => Float64Array.from(rows, () => input.f64())) as [
    Float64Array,
    Float64Array,
    Float64Array,
    Float64Array,
  ];
  for (let i = 0; sums && i < rows.length; i++)
    if (count[i] !== 0)
      addTo(sums, rows[i] as number, count[i] as number, min[i] as number, max[i] as number, sum[i] as number);
}
