import { CHANNELS } from '../contract/index.ts';
import { ABSENT, type RowBlock, StationRows } from './station-rows.ts';
import { orderByTime } from './time-order.ts';

/** What is told of rows while they are brought into order. */
export interface SettleNotes {
  /** True for a time that is not to be kept. */
  readonly drop: ((time: number) => boolean) | null;
  dropped(file: number, line: number, time: number, nearTime: number): void;
  /** The same reading came again. */
  repeated(file: number, channel: number, line: number): void;
  /** Another value came for a reading that was there already. */
  conflicting(file: number, channel: number, line: number): void;
}

/**
 * Rows of a station as they have to be: strictly ascending in time, one row for each time. Of several values for
 * one channel and time the first in order of coming stays. What was in order already is handed back as it is.
 */
export function settleRows(rows: StationRows, notes: SettleNotes): StationRows {
  if (rows.ascending && notes.drop === null) return rows;
  const kept = collect(rows, notes);
  const order = orderByTime(kept.times);
  const settled = new StationRows(rows.station);
  const channels = CHANNELS.map((_, index) => index).filter((index) =>
    rows.blocks.some((block) => block.columns[index] !== undefined),
  );
  const { firsts, repeats } = apart(kept.times, order);
  for (let done = 0; done < firsts.length; ) {
    const target = settled.open(0, channels);
    const next = firsts.subarray(done, done + target.times.length);
    for (let row = 0; row < next.length; row++) {
      const time = kept.times[next[row] as number] as number;
      target.times[row] = time;
      settled.added(time);
    }
    // Column by column: row by row each value would be looked for in another place.
    for (const channel of channels) fill(target.columns[channel] as Int32Array, rows, channel, kept, next);
    target.length = next.length;
    done += next.length;
  }
  let block = 0;
  let start = 0;
  for (let at = 0; at < repeats.length; at += 2) {
    const place = repeats[at] as number;
    const from = repeats[at + 1] as number;
    for (let target = settled.blocks[block] as RowBlock; place - start >= target.length; ) {
      start += target.length;
      target = settled.blocks[++block] as RowBlock;
    }
    const source = rows.blocks[kept.blocks[from] as number] as RowBlock;
    mergeRow(source, kept.rows[from] as number, settled.blocks[block] as RowBlock, place - start, channels, notes);
  }
  return settled;
}

/** The first row of each time, in order, and of each other one the place of that first among them, followed by the row. */
function apart(times: Float64Array, order: Uint32Array): { firsts: Uint32Array; repeats: number[] } {
  const firsts = new Uint32Array(order.length);
  const repeats: number[] = [];
  let count = 0;
  let last = Number.NaN;
  for (let index = 0; index < order.length; index++) {
    const from = order[index] as number;
    const time = times[from] as number;
    if (time === last) repeats.push(count - 1, from);
    else firsts[count++] = from;
    last = time;
  }
  return { firsts: firsts.subarray(0, count), repeats };
}

type Kept = ReturnType<typeof collect>;

/** Fills one column with the values of rows. */
function fill(column: Int32Array, { blocks }: StationRows, channel: number, kept: Kept, from: Uint32Array): void {
  const sources = blocks.map(({ columns }) => columns[channel]);
  const { blocks: blockOf, rows: rowOf } = kept;
  for (let row = 0; row < from.length; row++) {
    const place = from[row] as number;
    const source = sources[blockOf[place] as number];
    column[row] = source === undefined ? ABSENT : (source[rowOf[place] as number] as number);
  }
}

/** Times of all rows that stay, and where each row is. */
function collect(rows: StationRows, notes: SettleNotes) {
  const times = new Float64Array(rows.rows);
  const blocks = new Uint32Array(rows.rows);
  const places = new Uint32Array(rows.rows);
  let count = 0;
  let near = Number.NaN;
  for (const [blockIndex, block] of rows.blocks.entries()) {
    for (let row = 0; row < block.length; row++) {
      const time = block.times[row] as number;
      if (notes.drop?.(time)) {
        notes.dropped(block.file, block.lines[row] as number, time, near);
        continue;
      }
      near = time;
      times[count] = time;
      blocks[count] = blockIndex;
      places[count++] = row;
    }
  }
  return { times: times.subarray(0, count), blocks, rows: places };
}

function mergeRow(
  block: RowBlock,
  row: number,
  target: RowBlock,
  place: number,
  channels: readonly number[],
  notes: SettleNotes,
): void {
  for (const channel of channels) {
    const value = block.columns[channel]?.[row] ?? ABSENT;
    if (value === ABSENT) continue;
    const column = target.columns[channel] as Int32Array;
    const first = column[place] as number;
    if (first === ABSENT) column[place] = value;
    else if (first === value) notes.repeated(block.file, channel, block.lines[row] as number);
    else notes.conflicting(block.file, channel, block.lines[row] as number);
  }
}
