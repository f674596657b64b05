import type { Channel, Frames } from '../../collector/contract/index.ts';

/** Rows of frames from row `from` on that are before a reading time, epoch ms, as views; the row `from` in any case. */
export function rowsBefore(frames: Frames, from: number, time: number): Frames {
  const { times } = frames;
  let to = from + 1;
  while (to < times.length && times[to]! < time) to++;
  if (from === 0 && to === times.length) return frames;
  const columns: Partial<Record<Channel, Float64Array>> = {};
  for (const [name, column] of Object.entries(frames.columns)) columns[name as Channel] = column.subarray(from, to);
  return { ...frames, times: times.subarray(from, to), columns };
}
