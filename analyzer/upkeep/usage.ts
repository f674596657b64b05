import type { RunTable } from '../../collector/contract/index.ts';

/** What a gun sprayed, run by run: the only clock that wears its parts. */
export interface Usage {
  readonly gun: string;
  /** Trigger on, epoch ms, ascending. */
  readonly starts: Float64Array;
  /** Time with the trigger on, s. */
  readonly seconds: Float32Array;
  /** Powder of the run, kg; NaN where no output was read. */
  readonly kilograms: Float32Array;
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

/** The usage in a table of spray runs. Output is g/min in the table. */
export function usageOf(table: RunTable): Usage {
  const { length, columns } = table;
  const seconds = new Float32Array(length);
  const kilograms = new Float32Array(length);
  for (let i = 0; i < length; i++) {
    const sprayMs = columns.sprayMs[i] as number;
    seconds[i] = sprayMs / 1000;
    kilograms[i] = (Math.max(0, columns.output[i] as number) * sprayMs) / 60_000_000;
  }
  return { gun: table.gun, starts: columns.start.slice(0, length), seconds, kilograms };
}

/** `newer` in place of everything in `usage` that starts at `from` or later. */
export function renewUsage(usage: Usage, from: number, newer: Usage): Usage {
  const kept = firstAt(usage.starts, from);
  const joined = <T extends Float32Array | Float64Array>(make: (length: number) => T, a: T, b: T): T => {
    const whole = make(kept + b.length);
    whole.set(a.subarray(0, kept));
    whole.set(b, kept);
    return whole;
  };
  return {
    gun: usage.gun,
    starts: joined((n) => new Float64Array(n), usage.starts, newer.starts),
    seconds: joined((n) => new Float32Array(n), usage.seconds, newer.seconds),
    kilograms: joined((n) => new Float32Array(n), usage.kilograms, newer.kilograms),
  };
}

/**
 * What was sprayed in runs that start in [from, to), epoch ms.
 *
 * @example
 * sprayedBetween({ gun: 'g', starts: Float64Array.of(0, 60000), seconds: Float32Array.of(30, 30), kilograms: Float32Array.of(0.1, 0.1) }, 0, 60000).sprayHours.toFixed(4); // '0.0083'
 */
export function sprayedBetween(usage: Usage, from: number, to = Number.POSITIVE_INFINITY): Sprayed {
  let seconds = 0;
  let known = 0;
  let kilograms = 0;
  for (let i = firstAt(usage.starts, from); i < usage.starts.length && (usage.starts[i] as number) < to; i++) {
    seconds += usage.seconds[i] as number;
    const powder = usage.kilograms[i] as number;
    if (Number.isNaN(powder)) continue;
    known += usage.seconds[i] as number;
    kilograms += powder;
  }
  const outputKnown = seconds === 0 ? 1 : known / seconds;
  return {
    sprayHours: seconds / 3600,
    kilograms: outputKnown < LEAST_KNOWN ? null : kilograms / (outputKnown || 1),
    outputKnown,
  };
}

/**
 * When so many spray hours or kilograms had gone by since `from`; null where they have not yet.
 *
 * @returns start of the run in which it was reached, epoch ms
 */
export function reachedAt(usage: Usage, from: number, amount: number, of: 'sprayHours' | 'kilograms'): number | null {
  let sum = 0;
  for (let i = firstAt(usage.starts, from); i < usage.starts.length; i++) {
    const step = of === 'sprayHours' ? (usage.seconds[i] as number) / 3600 : (usage.kilograms[i] as number);
    if (!Number.isNaN(step)) sum += step;
    if (sum >= amount) return usage.starts[i] as number;
  }
  return null;
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
