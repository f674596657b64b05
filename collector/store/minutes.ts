import { CHANNELS, type Channel } from '../contract/channels.ts';
import { CHANNEL_STEPS } from '../contract/resolution.ts';
import { type Block, sliceBlock } from './block.ts';
import { ROLLED_CHANNELS, rollupRows } from './chunk-table.ts';
import { mergeBlocks } from './merge.ts';
import { noRepeats } from './repeats.ts';
import { addTo, emptySums, MINUTE_MS, type MinuteSums, rollUp } from './rollup.ts';
import { addRollup, type MinuteSink } from './rollup-codec.ts';
import type { Sql } from './sql.ts';
import type { Minutes } from './store.ts';
import { unsummed } from './summed.ts';

/** Minutes that are gathered from parts that come in order of time; two parts may share a minute where they meet. */
class MinuteBook implements MinuteSink {
  readonly #times: Float64Array;
  readonly #columns: (MinuteSums | null)[] = CHANNELS.map(() => null);
  #length = 0;

  /** @param room minutes at most */
  constructor(room: number) {
    this.#times = new Float64Array(room);
  }

  rowOf(minute: number): number {
    if (this.#length === 0 || this.#times[this.#length - 1] !== minute) this.#times[this.#length++] = minute;
    return this.#length - 1;
  }

  sumsOf(channel: number): MinuteSums {
    const known = this.#columns[channel];
    if (known) return known;
    const sums = emptySums(this.#times.length);
    this.#columns[channel] = sums;
    return sums;
  }

  addBlock(block: Block, wanted: number): void {
    const { minutes, columns } = rollUp(block, 0, block.rows, wanted);
    const rows = minutes.map((minute) => this.rowOf(minute));
    for (const [channel, from] of columns.entries()) {
      if (!from) continue;
      const sums = this.sumsOf(channel);
      for (let i = 0; i < minutes.length; i++)
        if (from.count[i] !== 0)
          addTo(
            sums,
            rows[i] as number,
            from.count[i] as number,
            from.min[i] as number,
            from.max[i] as number,
            from.sum[i] as number,
          );
    }
  }

  minutes(station: string): Minutes {
    const length = this.#length;
    const columns: { -readonly [Name in keyof Minutes['columns']]: Minutes['columns'][Name] } = {};
    for (const [channel, sums] of this.#columns.entries()) {
      if (!sums) continue;
      const scale = CHANNEL_STEPS[channel] as number;
      const [count, mean] = [sums.count.subarray(0, length), sums.sum.subarray(0, length)];
      const [min, max] = [sums.min.subarray(0, length), sums.max.subarray(0, length)];
      for (let i = 0; i < length; i++) mean[i] = count[i] === 0 ? Number.NaN : mean[i]! / scale / count[i]!;
      columns[CHANNELS[channel]?.name as Channel] = { min, max, mean, count };
    }
    return { station, times: this.#times.subarray(0, length), columns };
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
    const rollup = whole && outside === inside ? soundRollup(head.rollup) : null;
    if (rollup !== null) addRollup(rollup, wanted, book);
    else {
      const chunk = source.read(Math.max(from, head.first), Math.min(to, head.last + 1));
      book.addBlock(mergeBlocks(chunk, sliceBlock(tail, outside, inside), noRepeats()), wanted);
    }
  }
  addRows(book, tail, row, tail.rows, wanted);
  return book.minutes(source.station);
}

/** Null where the frames have to be read: there is none, or it is damaged. */
function soundRollup(stored: Uint8Array): Uint8Array | null {
  try {
    return stored.length === 0 ? null : unsummed(stored, 'a roll-up of minutes');
  } catch {
    return null;
  }
}

function addRows(book: MinuteBook, block: Block, from: number, to: number, wanted: number): void {
  if (to > from) book.addBlock(sliceBlock(block, from, to), wanted);
}
