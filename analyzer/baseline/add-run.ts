import type { RunTable } from '../../collector/contract/index.ts';
import type { Zeros } from '../detect/zero-tracker.ts';
import { type Block, FULL_RUNS, finishBlock } from './block.ts';
import { type OpenBlock, openBlock } from './open-block.ts';

/** How a gun's output is known: from a flow value, from a falling scale, or not at all but as what the air should give (coupled). */
export type OutputSource = 'value' | 'scale' | 'coupled';

/** Runs whose air differs by more than this in ln belong to another block. Source: own choice, two notches. */
const FLOW_SPAN = 0.05;
const OPEN_AT_ONCE = 5;
/** More conveying air than any spray gun uses, m3/h. Source: own choice, three times the most of handbook section 1. */
const MOST_AIR = 12;
/** Spread of a steady part, as a share of its level, beyond which its few readings hold glitches. Source: own choice, far above a notch. */
const UNSTEADY = 0.25;

/**
 * Adds run `row` of a table to the open block of its powder and air setting, opening one where there is none.
 * Runs without a steady part, or with air or pressure that no spraying gun has, are left out, and so are those whose
 * few readings do not agree.
 *
 * @param powder of the run, '' when unknown
 * @param atmosphereBar absolute pressure outside: gauges show what is above it
 * @returns a block that had to make room, or null
 */
export function addRun(
  gun: string,
  open: OpenBlock[],
  table: RunTable,
  row: number,
  powder: string,
  source: OutputSource,
  zeros: Zeros,
  outputGmin: number,
  atmosphereBar: number,
): Block | null {
  const c = table.columns;
  const flow = c.conveyingFlow[row]! - zeros.conveyingFlow;
  const pressure = c.conveyingPressure[row]! - zeros.conveyingPressure + atmosphereBar;
  if (!(flow > 0.2) || !(flow < MOST_AIR) || pressure <= 0.9 || !(c.samples[row]! >= 1)) return null;
  if (c.conveyingFlowSpread[row]! > UNSTEADY * flow) return null;
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
  if (Number.isFinite(pressure)) {
    block.pressure += weight * pressure;
    block.pressureWeight += weight;
  }
  addSides(block, c, row, weight, zeros, atmosphereBar);
  addOutput(block, c, row, weight, minutes, source, outputGmin, logFlow);
  return evicted;
}

function addSides(
  block: OpenBlock,
  c: RunTable['columns'],
  row: number,
  weight: number,
  zeros: Zeros,
  atmosphereBar: number,
): void {
  const supplementary = c.supplementaryFlow[row]! - zeros.supplementaryFlow;
  if (supplementary > 0.02 && Number.isFinite(c.supplementaryPressure[row]!)) {
    block.supplementary += weight * supplementary;
    block.supplementaryPressure += weight * (c.supplementaryPressure[row]! + atmosphereBar);
    block.supplementaryWeight += weight;
  }
  const fluidizing = c.fluidizingFlow[row]!;
  if (fluidizing > 0.02 && Number.isFinite(c.fluidizingPressure[row]!)) {
    block.fluidizing += weight * fluidizing;
    block.fluidizingPressure += weight * (c.fluidizingPressure[row]! + atmosphereBar);
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
  if (ripple > 0 && block.ripples.length < FULL_RUNS) {
    block.ripples.push(Math.log(ripple));
    block.rippleReadings += c.samples[row]!;
  }
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
  if (source !== 'scale' && outputGmin > 5) {
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
