/** Ages since the trigger was pulled are told apart in steps of this length, ms. Source: own choice: powder settles within 20 s. */
const STEP_MS = 2000;
const STEPS = 10;

/** Runs that must have taught a step before its ratio counts. Source: own choice. */
const ENOUGH = 10;

/** A pull teaches when its late part, from here on, is long enough to be the level that the start is compared with, ms.
 * Source: own choice: past the settling, and 8 s long. */
const LATE_MS = 16_000;
const TEACHES_MS = 24_000;

/** How a quantity comes up after the trigger was pulled: its mean share of the pull's late level, by age. */
export interface Settling {
  readonly ratios: Float64Array;
  readonly counts: Float64Array;
  /** Age from which on readings count as steady, ms. */
  settleMs: number;
  readonly shortestMs: number;
  readonly longestMs: number;
  /** Share of the late level that a settled quantity may still miss. */
  readonly tolerance: number;
}

/** @param settleMs age to begin with, before enough long pulls were seen */
export function startSettling(
  settleMs: number,
  limits: { shortestMs: number; longestMs: number; tolerance: number },
): Settling {
  return { ratios: new Float64Array(STEPS), counts: new Float64Array(STEPS), settleMs, ...limits };
}

/**
 * Learns from one long pull how fast the quantity settles.
 *
 * @param times of the pull's readings, epoch ms, first `count` of them
 * @param values readings, NaN where absent
 * @param late median of the readings from 16 s on; nothing is learnt unless it is above 0
 */
export function learnSettling(
  settling: Settling,
  times: Float64Array,
  values: Float64Array,
  count: number,
  late: number,
): void {
  if (!(late > 0)) return;
  const start = times[0]!;
  for (let index = 0; index < count; index++) {
    const step = Math.floor((times[index]! - start) / STEP_MS);
    if (step >= STEPS) break;
    const value = values[index]!;
    if (Number.isNaN(value)) continue;
    const seen = ++settling.counts[step]!;
    const ratio = Math.min(2, Math.max(0, value / late));
    settling.ratios[step]! += (ratio - settling.ratios[step]!) / Math.min(seen, 200);
  }
  let settled = STEPS;
  while (settled > 0 && !isOff(settling, settled - 1)) settled--;
  if (settling.counts[0]! >= ENOUGH)
    settling.settleMs = Math.min(settling.longestMs, Math.max(settling.shortestMs, settled * STEP_MS));
}

/** True when a pull of this length says something about settling. */
export function teachesSettling(lengthMs: number): boolean {
  return lengthMs >= TEACHES_MS;
}

/** Index of the first reading that belongs to the late part. */
export function lateFrom(times: Float64Array, count: number): number {
  const from = times[0]! + LATE_MS;
  let index = 0;
  while (index < count && times[index]! < from) index++;
  return index;
}

function isOff(settling: Settling, step: number): boolean {
  return settling.counts[step]! >= ENOUGH && Math.abs(settling.ratios[step]! - 1) > settling.tolerance;
}
