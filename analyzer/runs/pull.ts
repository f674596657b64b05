import type { CutState } from './cut-state.ts';
import { OUTPUT } from './pull-channels.ts';

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

/** Keeps row `index` of a block for the open pull. A set output that holds stands in for its own absence. */
export function pushReading(
  state: CutState,
  time: number,
  columns: readonly Float64Array[],
  index: number,
  outputSet: boolean,
): void {
  const { pull } = state;
  if (pull.count === pull.times.length) grow(pull);
  const at = pull.count++;
  pull.times[at] = time;
  for (let channel = 0; channel < columns.length; channel++) pull.columns[channel]![at] = columns[channel]![index]!;
  if (outputSet) pull.columns[OUTPUT]![at] = state.setOutput;
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
