import type { RunTable } from '../../collector/contract/index.ts';

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
  /** ln of conveying flow in m3/h and the absolute pressure before its filter, bar. */
  readonly flow: number;
  readonly pressure: number;
  /** Supplementary and fluidizing air, m3/h, and their absolute pressures, bar; NaN where not fitted. */
  readonly supplementary: number;
  readonly supplementaryPressure: number;
  readonly fluidizing: number;
  readonly fluidizingPressure: number;
  /** ln of ripple in bar and the variance of that mean. */
  readonly ripple: number;
  readonly rippleVariance: number;
  /** Unit inlet while spraying, bar gauge, and how far it sags from idle, bar; runs that told the sag. */
  readonly supply: number;
  readonly sag: number;
  readonly sagRuns: number;
}

/** Sums over the runs of one block that is still open. Plain numbers: part of the pipeline's state. */
export interface OpenBlock {
  powder: string;
  start: number;
  end: number;
  runs: number;
  minutes: number;
  kilograms: number;
  weight: number;
  flow: number;
  pressure: number;
  supplementary: number;
  supplementaryPressure: number;
  supplementaryWeight: number;
  fluidizing: number;
  fluidizingPressure: number;
  fluidizingWeight: number;
  unsteadiness: number;
  unsteadinessWeight: number;
  /** Per run: ln output less twice ln flow (so that small moves of the air cancel), ln ripple, and weights. */
  outputs: number[];
  outputWeights: number[];
  ripples: number[];
  supply: number;
  supplyRuns: number;
  sag: number;
  sagRuns: number;
}

/** Sensor zeros to take off flows and pressures, m3/h and bar. */
export interface Zeros {
  conveyingFlow: number;
  conveyingPressure: number;
  supplementaryFlow: number;
  fluidizingFlow: number;
}

/** A block closes at this much spraying. Source: own choice, some 20 to 30 runs, so that run scatter falls to about 1 %. */
const FULL_MINUTES = 8;
const FULL_RUNS = 40;
/** Runs whose air differs by more than this in ln belong to another block. Source: own choice, two notches. */
const FLOW_SPAN = 0.05;
/** An open block does not wait longer than this. Source: own choice, so that findings are not late. */
const LONGEST_MS = 40 * 60_000;
const OPEN_AT_ONCE = 5;

function openBlock(powder: string, start: number): OpenBlock {
  return {
    powder,
    start,
    end: start,
    runs: 0,
    minutes: 0,
    kilograms: 0,
    weight: 0,
    flow: 0,
    pressure: 0,
    supplementary: 0,
    supplementaryPressure: 0,
    supplementaryWeight: 0,
    fluidizing: 0,
    fluidizingPressure: 0,
    fluidizingWeight: 0,
    unsteadiness: 0,
    unsteadinessWeight: 0,
    outputs: [],
    outputWeights: [],
    ripples: [],
    supply: 0,
    supplyRuns: 0,
    sag: 0,
    sagRuns: 0,
  };
}

/** How a gun's output is known: from a flow value of its own, from a falling scale, or not at all. */
export type OutputSource = 'value' | 'scale' | 'none';

/** True when no more runs should join a block. */
function isFull(block: OpenBlock, now: number): boolean {
  return block.minutes >= FULL_MINUTES || block.runs >= FULL_RUNS || now - block.start > LONGEST_MS;
}

/** Takes out of `open` and returns the blocks that are full or too old at `now`. */
export function closeBlocks(gun: string, open: OpenBlock[], now: number): Block[] {
  const closed: Block[] = [];
  for (let i = open.length - 1; i >= 0; i--) {
    if (!isFull(open[i]!, now)) continue;
    closed.push(finishBlock(gun, open[i]!));
    open.splice(i, 1);
  }
  return closed.reverse();
}

/** Closes everything, as at a change of a part. */
export function closeAllBlocks(gun: string, open: OpenBlock[]): Block[] {
  const closed = open.map((block) => finishBlock(gun, block));
  open.length = 0;
  return closed;
}

/**
 * Adds run `row` of a table to the open block of its powder and air setting, opening one where there is none.
 * Runs without a steady part, or with air or pressure that no spraying gun has, are left out.
 *
 * @returns a block that had to make room, or null
 */
export function addRun(
  gun: string,
  open: OpenBlock[],
  table: RunTable,
  row: number,
  source: OutputSource,
  zeros: Zeros,
  outputGmin: number,
): Block | null {
  const c = table.columns;
  const flow = c.conveyingFlow[row]! - zeros.conveyingFlow;
  const pressure = c.conveyingPressure[row]! - zeros.conveyingPressure + 1.013;
  if (!(flow > 0.2) || !(pressure > 0.9) || !(c.samples[row]! >= 1)) return null;
  const powder = table.powders[c.powder[row]!] ?? '';
  const logFlow = Math.log(flow);
  let block: OpenBlock | null = null;
  for (const candidate of open)
    if (candidate.powder === powder && Math.abs(candidate.flow / candidate.weight - logFlow) < FLOW_SPAN) {
      block = candidate;
      break;
    }
  let evicted: Block | null = null;
  if (block === null) {
    if (open.length >= OPEN_AT_ONCE) evicted = finishBlock(gun, open.shift()!);
    block = openBlock(powder, c.start[row]!);
    open.push(block);
  }
  const minutes = c.sprayMs[row]! / 60_000;
  const weight = Math.min(minutes, 1);
  block.end = c.end[row]!;
  block.runs++;
  block.minutes += minutes;
  block.weight += weight;
  block.flow += weight * logFlow;
  block.pressure += weight * pressure;
  addSides(block, c, row, weight, zeros);
  addOutput(block, c, row, weight, minutes, source, outputGmin, logFlow);
  return evicted;
}

function addSides(block: OpenBlock, c: RunTable['columns'], row: number, weight: number, zeros: Zeros): void {
  const supplementary = c.supplementaryFlow[row]! - zeros.supplementaryFlow;
  if (supplementary > 0.02 && Number.isFinite(c.supplementaryPressure[row]!)) {
    block.supplementary += weight * supplementary;
    block.supplementaryPressure += weight * (c.supplementaryPressure[row]! + 1.013);
    block.supplementaryWeight += weight;
  }
  const fluidizing = c.fluidizingFlow[row]! - zeros.fluidizingFlow;
  if (fluidizing > 0.02 && Number.isFinite(c.fluidizingPressure[row]!)) {
    block.fluidizing += weight * fluidizing;
    block.fluidizingPressure += weight * (c.fluidizingPressure[row]! + 1.013);
    block.fluidizingWeight += weight;
  }
  const supply = c.supplyPressure[row]!;
  if (Number.isFinite(supply)) {
    block.supply += supply;
    block.supplyRuns++;
    const idle = c.supplyPressureIdle[row]!;
    if (Number.isFinite(idle)) {
      block.sag += idle - supply;
      block.sagRuns++;
    }
  }
  const ripple = c.ripple[row]!;
  if (ripple > 0 && block.ripples.length < FULL_RUNS) block.ripples.push(Math.log(ripple));
}

function addOutput(
  block: OpenBlock,
  c: RunTable['columns'],
  row: number,
  weight: number,
  minutes: number,
  source: OutputSource,
  outputGmin: number,
  logFlow: number,
): void {
  if (source === 'value' && outputGmin > 5) {
    block.kilograms += (outputGmin * minutes) / 1000;
    if (block.outputs.length < FULL_RUNS) {
      block.outputs.push(Math.log(outputGmin) - 2 * logFlow);
      block.outputWeights.push(weight);
    }
    const spread = c.outputSpread[row]!;
    if (spread > 0 && c.samples[row]! >= 5) {
      block.unsteadiness += weight * Math.log(spread / outputGmin);
      block.unsteadinessWeight += weight;
    }
  }
}

/** Weighted mean without what lies more than 4 robust deviations off, and the variance of that mean. */
function trimmedMean(values: readonly number[], weights: readonly number[] | null): { mean: number; variance: number } {
  if (values.length === 0) return { mean: Number.NaN, variance: Number.NaN };
  const sorted = values.slice().sort((left, right) => left - right);
  const median = sorted[sorted.length >> 1]!;
  const off = values.map((value) => Math.abs(value - median)).sort((left, right) => left - right);
  const reach = Math.max(4 * 1.4826 * off[off.length >> 1]!, 0.05);
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

function finishBlock(gun: string, block: OpenBlock): Block {
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
    pressure: block.pressure / block.weight,
    supplementary: side(block.supplementary, block.supplementaryWeight),
    supplementaryPressure: side(block.supplementaryPressure, block.supplementaryWeight),
    fluidizing: side(block.fluidizing, block.fluidizingWeight),
    fluidizingPressure: side(block.fluidizingPressure, block.fluidizingWeight),
    ripple: ripple.mean,
    rippleVariance: ripple.variance,
    supply: side(block.supply, block.supplyRuns),
    sag: side(block.sag, block.sagRuns),
    sagRuns: block.sagRuns,
  };
}
