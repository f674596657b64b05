import type { RunTable } from '../../collector/contract/index.ts';

const HOUR_MS = 3_600_000;

/** Spray hours of a gun as a function of reading time. */
export interface SprayClock {
  /** Ends of the runs, epoch ms, ascending. */
  readonly ends: Float64Array;
  /** Spray hours up to and with each run. */
  readonly hours: Float64Array;
}

/**
 * The spray clock of a gun from its runs.
 *
 * @param runs ascending by start
 * Source: sum of the runs' trigger-on time.
 */
export function sprayClock(runs: RunTable): SprayClock {
  let clock = known.get(runs);
  if (clock === undefined) {
    clock = clockOf(runs);
    known.set(runs, clock);
  }
  return clock;
}

/** Clocks of tables that were asked for: each of the settings that are tried on a history asks again. */
const known = new WeakMap<RunTable, SprayClock>();

function clockOf(runs: RunTable): SprayClock {
  const hours = new Float64Array(runs.length);
  let sum = 0;
  for (let row = 0; row < runs.length; row++) {
    sum += runs.columns.sprayMs[row]! / HOUR_MS;
    hours[row] = sum;
  }
  return { ends: runs.columns.end.slice(0, runs.length), hours };
}

/**
 * Spray hours between two reading times; 0 when `to` is not after `from`.
 *
 * @param from, to epoch ms
 * @example
 * sprayHoursBetween({ ends: Float64Array.of(10, 20, 30), hours: Float64Array.of(1, 2, 3) }, 10, 30); // 2
 */
export function sprayHoursBetween(clock: SprayClock, from: number, to: number): number {
  return Math.max(0, hoursAt(clock, to) - hoursAt(clock, from));
}

/** Spray hours of all runs that had ended by a time. */
function hoursAt({ ends, hours }: SprayClock, time: number): number {
  let low = 0;
  let high = ends.length;
  while (low < high) {
    const middle = (low + high) >> 1;
    if (ends[middle]! <= time) low = middle + 1;
    else high = middle;
  }
  return low === 0 ? 0 : hours[low - 1]!;
}
