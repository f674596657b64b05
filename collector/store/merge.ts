import { type Block, firstTime, lastTime, newColumn } from './block.ts';
import { countRepeat, type Repeats } from './repeats.ts';

/**
 * One block of two, by time. Where both have a reading of a channel at a time, `first` (what was committed
 * earlier) stays and the repeat is counted.
 */
export function mergeBlocks(first: Block, second: Block, repeats: Repeats): Block {
  if (second.rows === 0) return first;
  if (first.rows === 0) return second;
  if (lastTime(first) < firstTime(second)) return concat(first, second);
  if (lastTime(second) < firstTime(first)) return concat(second, first);
  return interleave(first, second, repeats);
}

function concat(early: Block, late: Block): Block {
  const rows = early.rows + late.rows;
  const times = new Float64Array(rows);
  times.set(early.times.subarray(0, early.rows));
  times.set(late.times.subarray(0, late.rows), early.rows);
  const columns = early.columns.map((left, channel) => {
    const right = late.columns[channel] ?? null;
    if (!left && !right) return null;
    const column = left && right ? new Float64Array(rows) : newColumn(rows);
    if (left) column.set(left.subarray(0, early.rows));
    if (right) column.set(right.subarray(0, late.rows), early.rows);
    return column;
  });
  return { rows, times, columns };
}

function interleave(first: Block, second: Block, repeats: Repeats): Block {
  const { target, rows, times } = placeRows(first, second);
  const columns = first.columns.map((left, channel) => {
    const right = second.columns[channel] ?? null;
    if (!left && !right) return null;
    const column = newColumn(rows);
    if (left) for (let row = 0; row < first.rows; row++) column[target[row] as number] = left[row] as number;
    if (right)
      for (let row = 0; row < second.rows; row++) {
        const value = right[row] as number;
        if (Number.isNaN(value)) continue;
        const at = target[first.rows + row] as number;
        const before = column[at] as number;
        if (Number.isNaN(before)) column[at] = value;
        else countRepeat(repeats, channel, before, value);
      }
    return column;
  });
  return { rows, times, columns };
}

/** Where each row of `first`, then of `second`, goes in the merged block. */
function placeRows(first: Block, second: Block): { target: Uint32Array; rows: number; times: Float64Array } {
  const target = new Uint32Array(first.rows + second.rows);
  const times = new Float64Array(first.rows + second.rows);
  let rows = 0;
  let i = 0;
  let k = 0;
  while (i < first.rows || k < second.rows) {
    const left = i < first.rows ? (first.times[i] as number) : Number.POSITIVE_INFINITY;
    const right = k < second.rows ? (second.times[k] as number) : Number.POSITIVE_INFINITY;
    times[rows] = Math.min(left, right);
    if (left <= right) target[i++] = rows;
    if (right <= left) target[first.rows + k++] = rows;
    rows++;
  }
  return { target, rows, times: times.slice(0, rows) };
}
