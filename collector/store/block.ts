import { CHANNELS } from '../contract/channels.ts';

/**
 * Frames of one station while they are worked on: like `Frames`, by channel index, with powder ids as
 * numbers that whoever made the block gave them.
 */
export interface Block {
  readonly rows: number;
  /** Strictly ascending. */
  readonly times: Float64Array;
  /** By channel index; null where the channel was never read; NaN where not at that time. */
  readonly columns: readonly (Float64Array | null)[];
}

export const EMPTY_BLOCK: Block = { rows: 0, times: new Float64Array(0), columns: CHANNELS.map(() => null) };

export function firstTime(block: Block): number {
  return block.times[0] ?? Number.NaN;
}

export function lastTime(block: Block): number {
  return block.times[block.rows - 1] ?? Number.NaN;
}

/** Index of the first row at or after a time. */
export function rowAt(times: Float64Array, rows: number, time: number): number {
  let low = 0;
  let high = rows;
  while (low < high) {
    const middle = (low + high) >>> 1;
    if ((times[middle] as number) < time) low = middle + 1;
    else high = middle;
  }
  return low;
}

/** Rows [from, to) as a view of the same memory. */
export function sliceBlock(block: Block, from: number, to: number): Block {
  if (from === 0 && to === block.rows) return block;
  return {
    rows: to - from,
    times: block.times.subarray(from, to),
    columns: block.columns.map((column) => column?.subarray(from, to) ?? null),
  };
}

export function newColumn(rows: number): Float64Array {
  return new Float64Array(rows).fill(Number.NaN);
}
