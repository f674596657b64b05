import { CHANNELS } from '../contract/channels.ts';
import { CHANNEL_STEPS } from '../contract/resolution.ts';
import { LARGEST_TIME } from './batch.ts';
import type { Block } from './block.ts';
import { ByteReader, ByteWriter } from './bytes.ts';
import { chunkKey, ROLLED_CHANNELS } from './chunk-table.ts';
import { addTo, emptySums, MINUTE_MS, type MinuteSums, type Rollup } from './rollup.ts';
import { addRollup, encodeRollup } from './rollup-codec.ts';
import type { Sql } from './sql.ts';
import type { Minutes } from './store.ts';
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
    const { spanMs, rollup } = decode(body);
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

/** Adds rows of a block that lie in one day to what is kept of it. @returns how many readings they were */
export function thinRows(sql: Sql, station: number, block: Block, from: number, to: number, spanMs: number): number {
  const key = chunkKey(station, dayOf(block.times[from]!));
  const day = new ThinnedDay(spanMs);
  const before = sql.get<{ last: number; body: Uint8Array }>(
    'SELECT last_ms AS last, body FROM thinned WHERE key = ?',
    key,
  );
  const readings = day.addRows(block, from, to);
  if (before) day.addStored(before.body);
  sql.run(
    `INSERT INTO thinned (key, last_ms, body) VALUES (?, ?, ?)
     ON CONFLICT DO UPDATE SET last_ms = excluded.last_ms, body = excluded.body`,
    key,
    Math.max(before?.last ?? 0, block.times[to - 1]!),
    day.encoded(),
  );
  return readings;
}

/** Thinned readings of a station: spans that start in [from, to), ascending. Their length is in `spanMs`, by row. */
export function readThinned(
  sql: Sql,
  station: number,
  name: string,
  from: number,
  to: number,
  wanted: number,
): ThinnedSpans {
  const times: number[] = [];
  const spans: number[] = [];
  const columns: (number[][] | null)[] = CHANNELS.map(() => null);
  for (const { body } of sql.all<{ body: Uint8Array }>(
    'SELECT body FROM thinned WHERE key >= ? AND key < ? AND last_ms >= ? ORDER BY key',
    chunkKey(station, Math.max(0, dayOf(from))),
    to > LARGEST_TIME ? chunkKey(station + 1, 0) : chunkKey(station, Math.max(0, Math.ceil(to))),
    from,
  )) {
    const { spanMs, rollup } = decode(body);
    for (const [row, start] of rollup.minutes.entries()) {
      if (start < from || start >= to) continue;
      times.push(start);
      spans.push(spanMs);
      for (const [channel, sums] of rollup.columns.entries()) {
        if (!sums || (wanted & (1 << channel)) === 0) continue;
        const count = sums.count[row]!;
        const column = columns[channel] ?? [];
        columns[channel] = column;
        const scale = CHANNEL_STEPS[channel] as number;
        column[times.length - 1] =
          count === 0 ? [] : [sums.min[row]!, sums.max[row]!, sums.sum[row]! / scale / count, count];
      }
    }
  }
  const result: { -readonly [Name in keyof Minutes['columns']]: Minutes['columns'][Name] } = {};
  for (const [channel, column] of columns.entries()) {
    if (!column) continue;
    const part = (index: number, none: number): Float64Array =>
      Float64Array.from({ length: times.length }, (_, row) => column[row]?.[index] ?? none);
    result[CHANNELS[channel]!.name] = {
      min: part(0, Number.NaN),
      max: part(1, Number.NaN),
      mean: part(2, Number.NaN),
      count: part(3, 0),
    };
  }
  return { station: name, times: Float64Array.from(times), spanMs: Float64Array.from(spans), columns: result };
}

/** Like minutes, of spans as long as retention made them. */
export interface ThinnedSpans extends Minutes {
  readonly spanMs: Float64Array;
}

function decode(stored: Uint8Array): { spanMs: number; rollup: Rollup } {
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
