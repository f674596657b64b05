import type { RunTable } from '../../collector/contract/index.ts';

/**
 * What a gun sprayed, run by run: the only clock that wears its parts. Kept as running sums, because a log of years asks for thousands of
 * spans: each sum has one value more than there are runs, that of all runs before it.
 */
export interface Usage {
  readonly gun: string;
  /** Trigger on, epoch ms, ascending. */
  readonly starts: Float64Array;
  /** Time with the trigger on, s. */
  readonly seconds: Float64Array;
  /** The part of it without a known output, s. */
  readonly unknownSeconds: Float64Array;
  /** Powder of the runs whose output was read, kg. */
  readonly kilograms: Float64Array;
}

/** Spray hours and powder of a gun over some time. */
export interface Sprayed {
  readonly sprayHours: number;
  /** Null where most of the spraying was without a known output; else the unknown part is filled in at the known rate. */
  readonly kilograms: number | null;
  /** Share of the spray hours whose output was read, 0 to 1; 1 where nothing was sprayed. */
  readonly outputKnown: number;
}

/** Share of the spray hours whose output has to be known. Source: own choice, because below half the fill-in would outweigh what was read. */
export const LEAST_KNOWN = 0.5;

/**
 * The usage of runs in order of time.
 *
 * @param starts trigger on, epoch ms, ascending
 * @param seconds time with the trigger on, s, a value a run
 * @param kilograms powder of each run; NaN where no output was read
 */
export function usageFrom(
  gun: string,
  starts: ArrayLike<number>,
  seconds: ArrayLike<number>,
  kilograms: ArrayLike<number>,
): Usage {
  const { length } = starts;
  const sums = [0, 1, 2].map(() => new Float64Array(length + 1));
  const [all, unknown, powder] = sums as [Float64Array, Float64Array, Float64Array];
  for (let i = 0; i < length; i++) {
    const [sprayed, kg] = [seconds[i] as number, kilograms[i] as number];
    const isKnown = !Number.isNaN(kg);
    all[i + 1] = all[i]! + sprayed;
    unknown[i + 1] = unknown[i]! + (isKnown ? 0 : sprayed);
    powder[i + 1] = powder[i]! + (isKnown ? kg : 0);
  }
  return { gun, starts: Float64Array.from(starts), seconds: all, unknownSeconds: unknown, kilograms: powder };
}

/** The usage in a table of spray runs. Output is g/min in the table. */
export function usageOf({ gun, length, columns }: RunTable): Usage {
  const { start, sprayMs, output } = columns;
  // Runs in single precision, so that their sums are exact in double.
  const seconds = new Float32Array(length);
  const kilograms = new Float32Array(length);
  for (let i = 0; i < length; i++) {
    seconds[i] = sprayMs[i]! / 1000;
    kilograms[i] = (Math.max(0, output[i]!) * sprayMs[i]!) / 60_000_000;
  }
  return usageFrom(gun, start.subarray(0, length), seconds, kilograms);
}

/** `newer` in place of everything in `usage` that starts at `from` or later. */
export function renewUsage(usage: Usage, from: number, newer: Usage): Usage {
  const kept = firstAt(usage.starts, from);
  const starts = new Float64Array(kept + newer.starts.length);
  starts.set(usage.starts.subarray(0, kept));
  starts.set(newer.starts, kept);
  const joined = (before: Float64Array, after: Float64Array): Float64Array => {
    const sums = new Float64Array(kept + after.length);
    sums.set(before.subarray(0, kept));
    for (let i = 0; i < after.length; i++) sums[kept + i] = before[kept]! + after[i]!;
    return sums;
  };
  return {
    gun: usage.gun,
    starts,
    seconds: joined(usage.seconds, newer.seconds),
    unknownSeconds: joined(usage.unknownSeconds, newer.unknownSeconds),
    kilograms: joined(usage.kilograms, newer.kilograms),
  };
}

/**
 * What was sprayed in runs that start in [from, to), epoch ms.
 *
 * @example
 * sprayedBetween(usageFrom('g', [0, 60000], [30, 30], [0.1, 0.1]), 0, 60000).sprayHours.toFixed(4); // '0.0083'
 */
export function sprayedBetween(usage: Usage, from: number, to = Number.POSITIVE_INFINITY): Sprayed {
  const first = firstAt(usage.starts, from);
  const last = Math.max(first, firstAt(usage.starts, to));
  const between = (sums: Float64Array): number => sums[last]! - sums[first]!;
  const seconds = between(usage.seconds);
  const outputKnown = seconds === 0 ? 1 : 1 - between(usage.unknownSeconds) / seconds;
  return {
    sprayHours: seconds / 3600,
    kilograms: outputKnown < LEAST_KNOWN ? null : between(usage.kilograms) / (outputKnown || 1),
    outputKnown,
  };
}

/**
 * When so many spray hours or kilograms had gone by since `from`; null where they have not yet.
 *
 * @returns start of the run in which it was reached, epoch ms
 */
export function reachedAt(usage: Usage, from: number, amount: number, of: 'sprayHours' | 'kilograms'): number | null {
  const first = firstAt(usage.starts, from);
  const [sums, wanted] = of === 'sprayHours' ? [usage.seconds, amount * 3600] : [usage.kilograms, amount];
  // The run behind which the sum stands at it: at least the first one.
  const end = Math.max(first + 1, firstAt(sums, sums[first]! + wanted));
  return usage.starts[end - 1] ?? null;
}

/** Index of the first time at or after `time`. */
function firstAt(times: Float64Array, time: number): number {
  let low = 0;
  let high = times.length;
  while (low < high) {
    const middle = (low + high) >> 1;
    if ((times[middle] as number) < time) low = middle + 1;
    else high = middle;
  }
  return low;
}
