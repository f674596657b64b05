/** Bins of 0.1 m3/h from -1 to 9 m3/h; what lies outside counts in the outermost ones. */
const BIN = 0.1;
const LOWEST = -1;
const BINS = 100;

/** The histogram is halved at this count, so that it follows a drifting zero over some days. Source: own choice. */
const FULL = 32_768;

/** Readings between two looks at the histogram. Source: own choice, because a look costs as much as some 100 readings. */
const LOOK_EVERY = 512;

/** Largest zero offset that is believed, m3/h: the least conveying air in use is about 1. Common practice, no source. */
const LARGEST_OFFSET = 0.8;

/** Levels of conveying flow that tell spraying from idle, m3/h. */
export interface FlowLevels {
  readonly counts: Float64Array;
  total: number;
  sinceLook: number;
  /** Spraying begins above `on` and ends below `off`. */
  on: number;
  off: number;
  /** What the sensor shows without air, and a low usual flow while spraying; 0 until learnt. */
  zero: number;
  spraying: number;
}

/** Levels before anything is learnt: half the least conveying air in use. Source: common practice, some 1 m3/h. */
export function startFlowLevels(): FlowLevels {
  return { counts: new Float64Array(BINS), total: 0, sinceLook: 0, on: 0.5, off: 0.35, zero: 0, spraying: 0 };
}

/**
 * Takes in one reading of conveying flow and, now and then, learns the two levels anew: the zero is the lowest
 * cluster, spraying begins where 40 % of the way to a low spraying flow is passed and ends below 25 %.
 *
 * @param flowNm3h reading, m3/h, finite
 */
export function learnFlow(levels: FlowLevels, flowNm3h: number): void {
  const bin = Math.floor((flowNm3h - LOWEST) / BIN);
  levels.counts[bin < 0 ? 0 : bin >= BINS ? BINS - 1 : bin]! += 1;
  levels.total++;
  if (++levels.sinceLook < LOOK_EVERY) return;
  levels.sinceLook = 0;
  look(levels);
  if (levels.total >= FULL) {
    for (let index = 0; index < BINS; index++) levels.counts[index]! /= 2;
    levels.total /= 2;
  }
}

function look(levels: FlowLevels): void {
  const { counts } = levels;
  const enough = Math.max(10, levels.total * 0.005);
  let first = 0;
  while (first < BINS && counts[first]! < enough) first++;
  const zero = centre(counts, Math.max(0, first - 2), Math.min(BINS, first + 4));
  const believed = Number.isFinite(zero) && zero <= LARGEST_OFFSET ? zero : levels.zero;
  const from = Math.ceil((believed + 0.5 - LOWEST) / BIN);
  let above = 0;
  for (let index = from; index < BINS; index++) above += counts[index]!;
  if (above < 20) return;
  let below = 0;
  let index = from;
  for (; index < BINS - 1 && below + counts[index]! < 0.2 * above; index++) below += counts[index]!;
  levels.zero = believed;
  levels.spraying = LOWEST + (index + 0.5) * BIN;
  levels.on = believed + Math.max(0.25, 0.4 * (levels.spraying - believed));
  levels.off = believed + Math.max(0.18, 0.25 * (levels.spraying - believed));
}

/** Mean of the readings in bins [from, to), m3/h; NaN when there is none. */
function centre(counts: Float64Array, from: number, to: number): number {
  let sum = 0;
  let count = 0;
  for (let index = from; index < to; index++) {
    sum += counts[index]! * (LOWEST + (index + 0.5) * BIN);
    count += counts[index]!;
  }
  return count === 0 ? Number.NaN : sum / count;
}
