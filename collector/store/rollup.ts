import { CHANNEL_STEPS } from '../contract/resolution.ts';
import type { Block } from './block.ts';

export const MINUTE_MS = 60_000;

/** Of one channel in one minute; sums are in whole steps where they can be, so that they do not depend on their order. */
export interface MinuteSums {
  readonly count: Float64Array;
  readonly min: Float64Array;
  readonly max: Float64Array;
  /** Sum of the values in steps of the channel's resolution. */
  readonly sum: Float64Array;
}

/** Roll-up of some frames: the minutes that hold any, and by channel index what was read in each. */
export interface Rollup {
  /** Starts of minutes, ascending, epoch ms. */
  readonly minutes: Float64Array;
  readonly columns: readonly (MinuteSums | null)[];
}

/** Channels that are rolled up are numbers; a powder's name has no mean. `wanted`: channels as bits. */
export function rollUp(block: Block, from: number, to: number, wanted: number): Rollup {
  const minuteOf = new Uint32Array(to - from);
  const minutes: number[] = [];
  for (let row = from; row < to; row++) {
    const minute = Math.floor((block.times[row] as number) / MINUTE_MS) * MINUTE_MS;
    if (minutes.at(-1) !== minute) minutes.push(minute);
    minuteOf[row - from] = minutes.length - 1;
  }
  const columns = block.columns.map((column, channel) =>
    column && (wanted & (1 << channel)) !== 0 ? sums(column, from, to, minuteOf, minutes.length, channel) : null,
  );
  return { minutes: Float64Array.from(minutes), columns };
}

function sums(
  column: Float64Array,
  from: number,
  to: number,
  minuteOf: Uint32Array,
  minutes: number,
  channel: number,
): MinuteSums | null {
  const scale = CHANNEL_STEPS[channel] as number;
  const result = emptySums(minutes);
  let any = false;
  for (let row = from; row < to; row++) {
    const value = column[row] as number;
    if (Number.isNaN(value)) continue;
    any = true;
    addTo(result, minuteOf[row - from] as number, 1, value, value, stepsOf(value, scale));
  }
  return any ? result : null;
}

/** In steps: whole where the value was kept in whole steps. */
function stepsOf(value: number, scale: number): number {
  const steps = value * scale;
  const whole = Math.round(steps);
  return whole / scale === value ? whole : steps;
}

export function emptySums(minutes: number): MinuteSums {
  return {
    count: new Float64Array(minutes),
    min: new Float64Array(minutes).fill(Number.NaN),
    max: new Float64Array(minutes).fill(Number.NaN),
    sum: new Float64Array(minutes),
  };
}

export function addTo(sums: MinuteSums, at: number, count: number, min: number, max: number, sum: number): void {
  if (!((sums.min[at] as number) <= min)) sums.min[at] = min;
  if (!((sums.max[at] as number) >= max)) sums.max[at] = max;
  sums.count[at]! += count;
  sums.sum[at]! += sum;
}

/** True where the roll-up is worth its room: fewer frames a minute than this are as quick to read themselves. */
export function rollupPays(rows: number, minutes: number): boolean {
  return rows >= 8 * minutes;
}
