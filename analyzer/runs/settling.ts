/** Ages since the trigger was pulled are told apart in steps of this length, ms. Source: own choice: powder settles within 20 s. */
const STEP_MS = 2000;
const STEPS = 10;

/** Runs that must have taught a step before its ratio counts. Source: own choice. */
const ENOUGH = 10;
/** Pulls too short to teach, before enough long ones came, after which the usual age is taken. Source: own choice, about a day's. */
const NONE_LONG = 400;

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
  /** Pulls too short to teach, while not enough long ones were seen. */
  short: number;
  /** Age that is taken where pulls are never long enough to teach, ms. */
  readonly usualMs: number;
  /** Long pulls after which a step that was hardly read counts as settled: this node's interval leaves it out. */
  readonly leftOut: number;
  readonly shortestMs: number;
  readonly longestMs: number;
  /** Share of the late level that a settled quantity may still miss. */
  readonly tolerance: number;
}

/** What a quantity's settling begins with, and how far it may go. */
export type SettlingLimits = Pick<Settling, 'usualMs' | 'leftOut' | 'shortestMs' | 'longestMs' | 'tolerance'>;

/** @param firstMs age to begin with, before enough long pulls were seen */
export function startSettling(firstMs: number, limits: SettlingLimits): Settling {
  const counts = new Float64Array(STEPS);
  return { ratios: new Float64Array(STEPS), counts, settleMs: firstMs, short: 0, ...limits };
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
  while (settled > 0 && isSettled(settling, settled - 1)) settled--;
  if (settling.counts[0]! >= ENOUGH)
    settling.settleMs = Math.min(settling.longestMs, Math.max(settling.shortestMs, settled * STEP_MS));
}

/** Counts a pull that is too short to teach. */
export function passShort(settling: Settling): void {
  if (settling.counts[0]! >= ENOUGH || ++settling.short < NONE_LONG) return;
  settling.settleMs = settling.usualMs;
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

/** A step that was seldom read is not known to be settled, unless it is never read. */
function isSettled({ counts, ratios, tolerance, leftOut }: Settling, step: number): boolean {
  if (counts[step]! < ENOUGH) return counts[0]! >= leftOut;
  return Math.abs(ratios[step]! - 1) <= tolerance;
}
