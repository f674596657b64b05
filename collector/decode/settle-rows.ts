import { CHANNELS } from '../contract/index.ts';
import { ABSENT, columnOf, type RowBlock, StationRows } from './station-rows.ts';
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
    const target = settled.open(0);
    const next = firsts.subarray(done, done + target.times.length);
    const stretches = stretchesOf(kept, next);
    const times = rows.blocks.map((block) => block.times);
    fill(target.times, times, stretches);
    // Column by column: row by row each value would be looked for in another place.
    for (const channel of channels) {
      const columns = rows.blocks.map((block) => block.columns[channel]);
      if (stretches.some(({ block }) => columns[block])) fill(columnOf(target, channel), columns, stretches);
    }
    target.length = next.length;
    settled.rows += next.length;
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

/** Rows that stood one behind the other in one block, and stay so. */
interface Stretch {
  readonly block: number;
  readonly from: number;
  to: number;
}

/** Rows as stretches, in their order: what came in order is copied at once. */
function stretchesOf({ blocks, rows }: Kept, order: Uint32Array): Stretch[] {
  const stretches: Stretch[] = [];
  let open: Stretch | null = null;
  for (let index = 0; index < order.length; index++) {
    const place = order[index] as number;
    const [block, row] = [blocks[place] as number, rows[place] as number];
    if (open !== null && block === open.block && row === open.to) open.to++;
    else {
      open = { block, from: row, to: row + 1 };
      stretches.push(open);
    }
  }
  return stretches;
}

/** Shorter stretches are copied value by value. Source: own choice, as measured: a view of an array costs as much as some values. */
const VIEW_ROWS = 16;

/** Fills one column with the values of stretches; it stays as it was begun where a block has none. */
function fill<Values extends Float64Array | Int32Array>(
  column: Values,
  sources: readonly (Values | undefined)[],
  stretches: readonly Stretch[],
): void {
  let at = 0;
  for (const { block, from, to } of stretches) {
    const source = sources[block];
    if (source !== undefined) {
      if (to - from >= VIEW_ROWS) column.set(source.subarray(from, to), at);
      else for (let row = from; row < to; row++) column[at + row - from] = source[row] as number;
    }
    at += to - from;
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
    const column = columnOf(target, channel);
    const first = column[place] as number;
    if (first === ABSENT) column[place] = value;
    else if (first === value) notes.repeated(block.file, channel, block.lines[row] as number);
    else notes.conflicting(block.file, channel, block.lines[row] as number);
  }
}
