import { CHANNELS } from '../contract/channels.ts';
import { CHANNEL_STEPS } from '../contract/resolution.ts';
import type { Block } from './block.ts';
import { ByteReader, ByteWriter } from './bytes.ts';
import { ROLLED_CHANNELS } from './chunk-table.ts';
import { addTo, emptySums, MINUTE_MS, type MinuteSums, type Rollup } from './rollup.ts';
import { addRollup, encodeRollup } from './rollup-codec.ts';
import { summed, unsummed } from './summed.ts';

const DAY_MS = 86_400_000;

/** Thinned readings of one day of a station while they are worked on: spans of equal length, in any order. */
export class ThinnedDay {
  #spanMs: number;
  #spans = new Map<number, { count: number; min: number; max: number; sum: number }[]>();

  /** @param spanMs whole minutes */
  constructor(spanMs: number) {
    this.#spanMs = spanMs;
  }

  /** Adds what was kept before; of two lengths of spans the longer one holds for the whole day. */
  addStored(body: Uint8Array): void {
    const { spanMs, rollup } = decodeDay(body);
    if (spanMs > this.#spanMs) {
      const before = this.#spans;
      this.#spanMs = spanMs;
      this.#spans = new Map();
      for (const [start, sums] of before)
        for (const [channel, { count, min, max, sum }] of sums.entries())
          this.#add(start, channel, count, min, max, sum);
    }
    for (const [channel, sums] of rollup.columns.entries())
      for (const [row, start] of rollup.minutes.entries())
        if (sums && sums.count[row] !== 0)
          this.#add(start, channel, sums.count[row]!, sums.min[row]!, sums.max[row]!, sums.sum[row]!);
  }

  /** Adds rows [from, to) of raw readings. @returns how many readings they were, texts included */
  addRows(block: Block, from: number, to: number): number {
    let readings = 0;
    for (const [channel, column] of block.columns.entries()) {
      if (!column) continue;
      const rolled = (ROLLED_CHANNELS & (1 << channel)) !== 0;
      const scale = CHANNEL_STEPS[channel] as number;
      for (let row = from; row < to; row++) {
        const value = column[row]!;
        if (Number.isNaN(value)) continue;
        readings++;
        if (!rolled) continue;
        const steps = Math.round(value * scale);
        this.#add(block.times[row]!, channel, 1, value, value, steps / scale === value ? steps : value * scale);
      }
    }
    return readings;
  }

  encoded(): Buffer {
    const minutes = Float64Array.from([...this.#spans.keys()].sort((left, right) => left - right));
    const columns = CHANNELS.map((_, channel): MinuteSums | null => {
      const sums = emptySums(minutes.length);
      let any = false;
      for (const [row, start] of minutes.entries()) {
        const one = this.#spans.get(start)?.[channel];
        if (!one || one.count === 0) continue;
        any = true;
        addTo(sums, row, one.count, one.min, one.max, one.sum);
      }
      return any ? sums : null;
    });
    const out = new ByteWriter();
    out.varint(this.#spanMs / MINUTE_MS);
    out.bytes(encodeRollup({ minutes, columns }));
    return summed(out.written());
  }

  #add(time: number, channel: number, count: number, min: number, max: number, sum: number): void {
    const start = Math.floor(time / this.#spanMs) * this.#spanMs;
    let sums = this.#spans.get(start);
    if (!sums) {
      sums = CHANNELS.map(() => ({ count: 0, min: Number.POSITIVE_INFINITY, max: Number.NEGATIVE_INFINITY, sum: 0 }));
      this.#spans.set(start, sums);
    }
    const one = sums[channel]!;
    one.count += count;
    one.min = Math.min(one.min, min);
    one.max = Math.max(one.max, max);
    one.sum += sum;
  }
}

/** Start of the day (UTC) that a time belongs to. */
export function dayOf(time: number): number {
  return Math.floor(time / DAY_MS) * DAY_MS;
}

/**
 * A thinned day as it is stored.
 *
 * @throws {Error} what was found and expected, where it is damaged
 */
export function decodeDay(stored: Uint8Array): { spanMs: number; rollup: Rollup } {
  const body = unsummed(stored, 'a thinned day');
  const head = new ByteReader(body);
  const spanMs = head.varint() * MINUTE_MS;
  let length = 1;
  while (body[length - 1]! >= 0x80) length++;
  const minutes: number[] = [];
  const columns: (MinuteSums | null)[] = CHANNELS.map(() => null);
  const room = new ByteReader(body.subarray(length)).varint();
  addRollup(body.subarray(length), ROLLED_CHANNELS, {
    rowOf: (minute) => minutes.push(minute) - 1,
    sumsOf: (channel) => {
      const sums = columns[channel] ?? emptySums(room);
      columns[channel] = sums;
      return sums;
    },
  });
  return { spanMs, rollup: { minutes: Float64Array.from(minutes), columns } };
}
