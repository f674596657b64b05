import type { Pack } from '../contract/frames.ts';
import { CHANNELS, type Frames } from '../contract/index.ts';
import type { Readings } from '../store/stored-readings.ts';

/**
 * How many of a pack's readings the store has a value for: these are dropped as repeats, or counted as conflicts where it is another.
 *
 * @param pack its times ascend
 */
export function alreadyThere({ station, times, channels }: Pack, readings: Pick<Readings, 'iterateFrames'>): number {
  let count = 0;
  let at = 0;
  const first = times[0] ?? 0;
  for (const block of readings.iterateFrames(station, first, (times.at(-1) ?? first) + 1))
    for (let row = 0; row < block.times.length; row++) {
      const time = block.times[row]!;
      while (at < times.length && times[at]! < time) at++;
      for (; at < times.length && times[at]! === time; at++) if (has(block, row, channels[at]!)) count++;
    }
  return count;
}

function has({ columns }: Frames, row: number, channel: number): boolean {
  return !Number.isNaN(columns[CHANNELS[channel]!.name]?.[row] ?? Number.NaN);
}
