import type { OpenBlock } from './open-block.ts';

/** Means over some minutes of spraying at one setting with one powder: what the baselines learn from. */
export interface Block {
  readonly gun: string;
  /** Powder id; '' when unknown. */
  readonly powder: string;
  /** Epoch ms of the first run's start and the last run's end. */
  readonly start: number;
  readonly end: number;
  readonly runs: number;
  readonly minutes: number;
  /** Powder sprayed, kg; 0 when unknown. */
  readonly kilograms: number;
  /** ln of output in g/min and the variance of that mean; NaN when output is unknown. */
  readonly output: number;
  readonly outputVariance: number;
  /** ln of the run-to-run spread within runs over output; NaN when unknown. */
  readonly unsteadiness: number;
  /** ln of conveying flow in m3/h and the absolute pressure before its filter, bar, NaN where not read. */
  readonly flow: number;
  readonly pressure: number;
  /** Supplementary and fluidizing air, m3/h, and their absolute pressures, bar; NaN where not fitted. */
  readonly supplementary: number;
  readonly supplementaryPressure: number;
  readonly fluidizing: number;
  readonly fluidizingPressure: number;
  /** ln of ripple in bar and the variance of that mean; NaN variance where it may be that of a start. */
  readonly ripple: number;
  readonly rippleVariance: number;
  /** Unit inlet while spraying, bar gauge, and how far it sags from idle, bar; runs that told the sag. */
  readonly supply: number;
  readonly sag: number;
  readonly sagRuns: number;
}

/** True of pulls that a scale told together: they repeat what the blocks of their settings have counted, and hold no kilograms. */
export function isScalePull({ pressure, kilograms, output }: Block): boolean {
  return !Number.isFinite(pressure) && kilograms === 0 && Number.isFinite(output);
}

/** A block closes at this much spraying. Source: own choice, some 20 to 30 runs, so that run scatter falls to about 1 %. */
export const FULL_MINUTES = 8;
export const FULL_RUNS = 40;
/** An open block does not wait longer than this. Source: own choice, so that findings are not late. */
const LONGEST_MS = 40 * 60_000;

/** True when no more runs should join a block. */
function isFull(block: OpenBlock, now: number): boolean {
  return block.minutes >= FULL_MINUTES || block.runs >= FULL_RUNS || now - block.start > LONGEST_MS;
}

/** Moves the blocks that are full or too old at `now` from `open` to the end of `closed`, oldest first. */
export function closeBlocks(gun: string, open: OpenBlock[], now: number, closed: Block[]): void {
  let left = 0;
  for (let i = 0; i < open.length; i++) {
    const block = open[i]!;
    if (isFull(block, now)) closed.push(finishBlock(gun, block));
    else open[left++] = block;
  }
  if (left < open.length) open.length = left;
}

/** Closes everything, as at a change of a part. */
export function closeAllBlocks(gun: string, open: OpenBlock[], closed: Block[]): void {
  for (const block of open) closed.push(finishBlock(gun, block));
  open.length = 0;
}

/** Room to sort a block's values in. */
const sorted = new Float64Array(FULL_RUNS);

/** Middle of the first `count` values of `sorted`, which it sorts by insertion: they are few. */
function middle(count: number): number {
  for (let i = 1; i < count; i++) {
    const value = sorted[i]!;
    let place = i;
    for (; place > 0 && sorted[place - 1]! > value; place--) sorted[place] = sorted[place - 1]!;
    sorted[place] = value;
  }
  return sorted[count >> 1]!;
}

/** Weighted mean without what lies more than 4 robust deviations off, and the variance of that mean. */
function trimmedMean(values: readonly number[], weights: readonly number[] | null): { mean: number; variance: number } {
  if (values.length === 0) return { mean: Number.NaN, variance: Number.NaN };
  const count = values.length;
  for (let i = 0; i < count; i++) sorted[i] = values[i]!;
  const median = middle(count);
  for (let i = 0; i < count; i++) sorted[i] = Math.abs(values[i]! - median);
  const reach = Math.max(4 * 1.4826 * middle(count), 0.05);
  let weight = 0;
  let sum = 0;
  let weightSquares = 0;
  for (let i = 0; i < values.length; i++)
    if (Math.abs(values[i]! - median) <= reach) {
      const w = weights === null ? 1 : weights[i]!;
      weight += w;
      weightSquares += w * w;
      sum += w * values[i]!;
    }
  const mean = sum / weight;
  let squares = 0;
  for (let i = 0; i < values.length; i++)
    if (Math.abs(values[i]! - median) <= reach)
      squares += (weights === null ? 1 : weights[i]!) * (values[i]! - mean) ** 2;
  return { mean, variance: ((squares / weight + 1e-4) * weightSquares) / (weight * weight) };
}

/**
 * Readings from which a block tells of ripple. One or two may have been read while the air came up, which pulses as a leak does: a slow logger hardly
 * sees the releases between short pulls. Source: own choice, the fewest of which a median leaves one out.
 */
const RIPPLE_READINGS = 3;

/** What the baselines learn from a block that takes no more runs. */
export function finishBlock(gun: string, block: OpenBlock): Block {
  const flow = block.flow / block.weight;
  let output = Number.NaN;
  let outputVariance = Number.NaN;
  if (block.outputs.length > 0) {
    const level = trimmedMean(block.outputs, block.outputWeights);
    output = level.mean + 2 * flow;
    outputVariance = level.variance;
  }
  const ripple = trimmedMean(block.ripples, null);
  const side = (sum: number, weight: number): number => (weight > 0 ? sum / weight : Number.NaN);
  return {
    gun,
    powder: block.powder,
    start: block.start,
    end: block.end,
    runs: block.runs,
    minutes: block.minutes,
    kilograms: block.kilograms,
    output,
    outputVariance,
    unsteadiness: side(block.unsteadiness, block.unsteadinessWeight),
    flow,
    pressure: side(block.pressure, block.pressureWeight),
    supplementary: side(block.supplementary, block.supplementaryWeight),
    supplementaryPressure: side(block.supplementaryPressure, block.supplementaryWeight),
    fluidizing: side(block.fluidizing, block.fluidizingWeight),
    fluidizingPressure: side(block.fluidizingPressure, block.fluidizingWeight),
    ripple: ripple.mean,
    rippleVariance: block.rippleReadings < RIPPLE_READINGS ? Number.NaN : ripple.variance,
    supply: side(block.supply, block.supplyRuns),
    sag: side(block.sag, block.sagRuns),
    sagRuns: block.sagRuns,
  };
}
