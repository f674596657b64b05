import type { CutState } from './cut-state.ts';

/**
 * Begins a pull, or the next piece of a long one.
 *
 * @param pulled it begins with the trigger
 * @param fresh something has to settle first
 */
export function openPull(state: CutState, time: number, pulled: boolean, fresh: boolean): void {
  const { pull } = state;
  pull.open = true;
  pull.count = 0;
  pull.pulled = pulled;
  pull.fresh = fresh;
  pull.inferred = !state.triggerHolds || state.triggerDistrusted;
  pull.powder = state.powder;
  pull.start = time;
  if (pulled) state.switches++;
}

/** Keeps rows [from, to) of a block for the open pull. */
export function keepRows(
  pull: CutState['pull'],
  times: Float64Array,
  columns: readonly Float64Array[],
  from: number,
  to: number,
): void {
  while (pull.count + to - from > pull.times.length) grow(pull);
  copyRows(times, from, to, pull.times, pull.count);
  for (let channel = 0; channel < columns.length; channel++)
    copyRows(columns[channel]!, from, to, pull.columns[channel]!, pull.count);
  pull.count += to - from;
}

/** For the few rows of a pull quicker than `set` with a view. */
function copyRows(column: Float64Array, from: number, to: number, into: Float64Array, at: number): void {
  for (let row = from; row < to; row++) into[at + row - from] = column[row]!;
}

function grow(pull: CutState['pull']): void {
  const larger = (column: Float64Array): Float64Array => {
    const result = new Float64Array(column.length * 2);
    result.set(column);
    return result;
  };
  pull.times = larger(pull.times);
  for (let channel = 0; channel < pull.columns.length; channel++)
    pull.columns[channel] = larger(pull.columns[channel]!);
}
