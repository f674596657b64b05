import { CHANNELS, type Channel } from '../contract/channels.ts';
import { CHANNEL_STEPS } from '../contract/resolution.ts';
import { type Block, sliceBlock } from './block.ts';
import { ROLLED_CHANNELS, rollupRows } from './chunk-table.ts';
import { mergeBlocks } from './merge.ts';
import { noRepeats } from './repeats.ts';
import { addTo, emptySums, MINUTE_MS, type MinuteSums, rollUp } from './rollup.ts';
import { decodeRollup } from './rollup-codec.ts';
import type { Sql } from './sql.ts';
import type { Minutes } from './store.ts';

/** Minutes that are gathered, in whatever order their parts come. */
class MinuteBook {
  readonly #rows = new Map<number, number>();
  readonly #columns: (MinuteSums | null)[] = CHANNELS.map(() => null);
  readonly #room: number;

  constructor(room: number) {
    this.#room = room;
  }

  add(channel: number, minute: number, count: number, min: number, max: number, sum: number): void {
    let row = this.#rows.get(minute);
    if (row === undefined) {
      row = this.#rows.size;
      this.#rows.set(minute, row);
    }
    let sums = this.#columns[channel];
    if (!sums) {
      sums = emptySums(this.#room);
      this.#columns[channel] = sums;
    }
    addTo(sums, row, count, min, max, sum);
  }

  addBlock(block: Block, wanted: number): void {
    const { minutes, columns } = rollUp(block, 0, block.rows, wanted);
    for (const [channel, sums] of columns.entries()) {
      if (!sums) continue;
      for (let i = 0; i < minutes.length; i++)
        if (sums.count[i] !== 0)
          this.add(
            channel,
            minutes[i] as number,
            sums.count[i] as number,
            sums.min[i] as number,
            sums.max[i] as number,
            sums.sum[i] as number,
          );
    }
  }

  minutes(station: string): Minutes {
    const order = [...this.#rows].sort((left, right) => left[0] - right[0]);
    const pick = (values: Float64Array): Float64Array => Float64Array.from(order, ([, row]) => values[row] as number);
    const columns: { -readonly [Name in keyof Minutes['columns']]: Minutes['columns'][Name] } = {};
    for (const [channel, sums] of this.#columns.entries()) {
      if (!sums) continue;
      const scale = CHANNEL_STEPS[channel] as number;
      const [count, total] = [pick(sums.count), pick(sums.sum)];
      const mean = total.map((sum, i) => (count[i] === 0 ? Number.NaN : sum / scale / (count[i] as number)));
      columns[CHANNELS[channel]?.name as Channel] = { min: pick(sums.min), max: pick(sums.max), mean, count };
    }
    return { station, times: Float64Array.from(order, ([minute]) => minute), columns };
  }
}

/** What the minutes of a station are made of. */
export interface MinuteSource {
  readonly station: string;
  /** Its id among the chunks; null when it has none. */
  readonly id: number | null;
  /** Its tail within the times wanted. */
  readonly tail: Block;
  /** Frames of its chunks in [from, to). */
  readonly read: (from: number, to: number) => Block;
}

/**
 * Minutes of [from, to): from roll-ups, and from frames where a chunk has none, where it is cut by an end of
 * the span, or where the tail has something for the same time, which may be a repeat.
 */
export function readMinutes(sql: Sql, source: MinuteSource, from: number, to: number, channels: number): Minutes {
  const wanted = channels & ROLLED_CHANNELS;
  const { tail } = source;
  const heads = source.id === null ? [] : rollupRows(sql, source.id, from, to);
  const first = heads[0];
  const last = heads.at(-1);
  // Room for every minute that can come: those within chunks, and those of the tail's rows.
  const span = first && last ? Math.ceil((last.last - first.first) / MINUTE_MS) + 2 : 0;
  const frames = heads.reduce((sum, head) => sum + head.frames, 0);
  const book = new MinuteBook(Math.min(span, frames) + tail.rows);
  let row = 0;
  for (const head of heads) {
    let inside = row;
    while (inside < tail.rows && (tail.times[inside] as number) < head.first) inside++;
    const outside = inside;
    while (inside < tail.rows && (tail.times[inside] as number) <= head.last) inside++;
    addRows(book, tail, row, outside, wanted);
    row = inside;
    const whole = head.first >= from && head.last < to;
    if (head.rollup && whole && outside === inside)
      decodeRollup(head.rollup, wanted, (...minute) => book.add(...minute));
    else {
      const chunk = source.read(Math.max(from, head.first), Math.min(to, head.last + 1));
      book.addBlock(mergeBlocks(chunk, sliceBlock(tail, outside, inside), noRepeats()), wanted);
    }
  }
  addRows(book, tail, row, tail.rows, wanted);
  return book.minutes(source.station);
}

function addRows(book: MinuteBook, block: Block, from: number, to: number, wanted: number): void {
  if (to > from) book.addBlock(sliceBlock(block, from, to), wanted);
}
