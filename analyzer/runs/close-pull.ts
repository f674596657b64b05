import { RUN_FIELDS } from '../../collector/contract/index.ts';
import { ANR_KELVIN, conductanceFromFlow } from '../physics/iso6358.ts';
import type { CutState, IdleRing } from './cut-state.ts';
import { massAtEnds } from './mass-ends.ts';
import {
  FLOW,
  FLUIDIZING_FLOW,
  FLUIDIZING_PRESSURE,
  MASS,
  OUTPUT,
  PRESSURE,
  RIPPLE,
  SUPPLEMENTARY_FLOW,
  SUPPLEMENTARY_PRESSURE,
  SUPPLY_PRESSURE,
} from './pull-channels.ts';
import { scratchMedian, scratchSpread } from './scratch-median.ts';
import { lateFrom, learnSettling, passShort, teachesSettling } from './settling.ts';

const FIELD = Object.fromEntries(RUN_FIELDS.map((field, index) => [field, index])) as Record<
  (typeof RUN_FIELDS)[number],
  number
>;

/** A supply temperature is believed for this long, ms. Source: own choice, because plant air warms over hours. */
const TEMPERATURE_MS = 3_600_000;

/** Readings may be this much early against the settling time, ms: nodes jitter. Source: own choice. */
const JITTER_MS = 300;

let scratch = new Float64Array(256);

/** What closing a pull must know of its station. */
export interface PullContext {
  readonly outputMeasured: boolean;
  readonly atmosphereBar: number;
}

/**
 * Writes the numbers of the open pull as one row of a run table.
 *
 * @param row where to, in the order of RUN_FIELDS
 * @param end trigger off, epoch ms
 */
export function describePull(context: PullContext, state: CutState, end: number, row: Float64Array): void {
  const { pull } = state;
  row.fill(Number.NaN);
  row[FIELD.start] = pull.start;
  row[FIELD.end] = end;
  row[FIELD.sprayMs] = end - pull.start;
  row[FIELD.powder] = pull.powder;
  const { count } = pull;
  const air = pull.fresh ? steadyFrom(state, state.airSettling.settleMs, count) : 0;
  const lag = context.outputMeasured ? state.outputSettling.settleMs : state.airSettling.settleMs;
  const output = pull.fresh ? steadyFrom(state, lag, count) : 0;

  row[FIELD.samples] = gather(pull.columns[FLOW]!, air, count);
  row[FIELD.conveyingFlow] = scratchMedian(scratch, row[FIELD.samples]!);
  row[FIELD.conveyingFlowSpread] = scratchSpread(scratch, row[FIELD.samples]!, row[FIELD.conveyingFlow]!);
  const pressures = gather(pull.columns[PRESSURE]!, air, count);
  row[FIELD.conveyingPressure] = scratchMedian(scratch, pressures);
  row[FIELD.conveyingPressureSpread] = scratchSpread(scratch, pressures, row[FIELD.conveyingPressure]!);
  const outputs = gather(pull.columns[OUTPUT]!, liesStill(pull.columns[OUTPUT]!, count) ? 0 : output, count);
  row[FIELD.output] = scratchMedian(scratch, outputs);
  row[FIELD.outputSpread] = scratchSpread(scratch, outputs, row[FIELD.output]!);
  row[FIELD.ripple] = steady(pull.columns[RIPPLE]!, air, count);
  row[FIELD.supplementaryFlow] = steady(pull.columns[SUPPLEMENTARY_FLOW]!, air, count);
  row[FIELD.supplementaryPressure] = steady(pull.columns[SUPPLEMENTARY_PRESSURE]!, air, count);
  row[FIELD.fluidizingFlow] = seldom(pull.columns[FLUIDIZING_FLOW]!, air, count);
  row[FIELD.fluidizingPressure] = seldom(pull.columns[FLUIDIZING_PRESSURE]!, air, count);
  row[FIELD.supplyPressure] = seldom(pull.columns[SUPPLY_PRESSURE]!, air, count);
  massAtEnds(pull.times, pull.columns[MASS]!, count, row, FIELD.massStart, FIELD.massEnd);

  row[FIELD.idleSamples] = state.idle[FLOW]!.count;
  row[FIELD.supplyPressureIdle] = idleMedian(state.idle[SUPPLY_PRESSURE]!);
  row[FIELD.zeroConveyingFlow] = idleMedian(state.idle[FLOW]!);
  row[FIELD.zeroConveyingPressure] = idleMedian(state.idle[PRESSURE]!);
  row[FIELD.zeroSupplementaryFlow] = idleMedian(state.idle[SUPPLEMENTARY_FLOW]!);
  row[FIELD.zeroSupplementaryPressure] = idleMedian(state.idle[SUPPLEMENTARY_PRESSURE]!);
  row[FIELD.zeroOutput] = idleMedian(state.idle[OUTPUT]!);
  conductances(context, state, row);
}

/** Teaches the settling times from a pull that is about to be closed. */
export function learnFromPull(context: PullContext, state: CutState): void {
  const { pull } = state;
  const last = pull.times[pull.count - 1]!;
  if (!pull.pulled) return;
  if (pull.count < 3 || !teachesSettling(last - pull.times[0]!)) {
    passShort(state.outputSettling);
    return;
  }
  const late = lateFrom(pull.times, pull.count);
  const flow = scratchMedian(scratch, gather(pull.columns[FLOW]!, late, pull.count));
  learnSettling(state.airSettling, pull.times, pull.columns[FLOW]!, pull.count, flow);
  if (!context.outputMeasured) return;
  const output = scratchMedian(scratch, gather(pull.columns[OUTPUT]!, late, pull.count));
  learnSettling(state.outputSettling, pull.times, pull.columns[OUTPUT]!, pull.count, output);
}

/** Median of what was read in the first `count` places of a column; NaN when that is nothing. */
export function medianOf(column: Float64Array, count: number): number {
  return scratchMedian(scratch, gather(column, 0, count));
}

/** Median time between the readings of a pull, ms; 0 when there are too few to say. */
export function usualInterval(pull: CutState['pull']): number {
  if (pull.count < 4) return 0;
  if (scratch.length < pull.count) scratch = new Float64Array(pull.count * 2);
  for (let index = 1; index < pull.count; index++) scratch[index - 1] = pull.times[index]! - pull.times[index - 1]!;
  return scratchMedian(scratch, pull.count - 1);
}

function conductances(context: PullContext, state: CutState, row: Float64Array): void {
  const known = row[FIELD.start]! - state.temperatureTime <= TEMPERATURE_MS && !Number.isNaN(state.temperature);
  const kelvin = known ? state.temperature + 273.15 : ANR_KELVIN;
  const asIfChoked = (flowNm3h: number, pressureBar: number): number => {
    const upstreamBar = pressureBar + context.atmosphereBar;
    if (!Number.isFinite(flowNm3h) || !(upstreamBar > 0)) return Number.NaN;
    return conductanceFromFlow(flowNm3h, 0, { upstreamBar, downstreamBar: 0, upstreamKelvin: kelvin });
  };
  row[FIELD.conveyingConductance] = asIfChoked(row[FIELD.conveyingFlow]!, row[FIELD.conveyingPressure]!);
  row[FIELD.supplementaryConductance] = asIfChoked(row[FIELD.supplementaryFlow]!, row[FIELD.supplementaryPressure]!);
  row[FIELD.fluidizingConductance] = asIfChoked(row[FIELD.fluidizingFlow]!, row[FIELD.fluidizingPressure]!);
}

/** Output below which a meter shows none, g/min. Source: own choice, some times its zero. */
const NO_OUTPUT = 5;

/** True for air without powder, as of a purge: that is known without waiting for the meter. */
function liesStill(outputs: Float64Array, count: number): boolean {
  for (let index = 0; index < count; index++) if (outputs[index]! > NO_OUTPUT) return false;
  return true;
}

function steadyFrom(state: CutState, settleMs: number, count: number): number {
  const { times } = state.pull;
  const from = times[0]! + settleMs - JITTER_MS;
  let index = 1;
  while (index < count && times[index]! < from) index++;
  return index;
}

function steady(column: Float64Array, from: number, count: number): number {
  return scratchMedian(scratch, gather(column, from, count));
}

/** Median of the steady part, or where it holds no reading of a seldom sent channel, of all but the first instant. */
function seldom(column: Float64Array, from: number, count: number): number {
  const held = gather(column, from, count);
  return scratchMedian(scratch, held > 0 ? held : gather(column, 1, count));
}

function idleMedian(ring: IdleRing): number {
  return medianOf(ring.values, ring.count);
}

/** Copies what was read in [from, count) into the scratch and says how much that is. */
function gather(column: Float64Array, from: number, count: number): number {
  if (scratch.length < count) scratch = new Float64Array(count * 2);
  let held = 0;
  for (let index = from; index < count; index++) {
    const value = column[index]!;
    // NaN is the only value that differs from itself.
    // biome-ignore lint/suspicious/noSelfCompare: the cheapest test for NaN on the hot path
    if (value === value) scratch[held++] = value;
  }
  return held;
}
