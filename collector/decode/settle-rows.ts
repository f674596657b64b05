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
  let target: RowBlock | null = null;
  for (let index = 0; index < order.length; index++) {
    const from = order[index] as number;
    const time = kept.times[from] as number;
    const block = rows.blocks[kept.blocks[from] as number] as RowBlock;
    const row = kept.rows[from] as number;
    if (target !== null && time === settled.lastTime) {
      mergeRow(block, row, target, target.length - 1, channels, notes);
      continue;
    }
    target = settled.open(0, channels);
    target.times[target.length] = time;
    for (const channel of channels) {
      (target.columns[channel] as Int32Array)[target.length] = block.columns[channel]?.[row] ?? ABSENT;
    }
    target.length++;
    settled.added(time);
  }
  return settled;
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
