import type { Frames } from '../../collector/contract/index.ts';
import { lookForAbsences } from './absences.ts';
import { type BlockRows, blockRows } from './block-rows.ts';
import { type CutState, HOLD_MS, LONGEST_PIECE_MS, SILENCE_MS } from './cut-state.ts';
import { closePull, endsByPause, forget, releasePull } from './finish-pull.ts';
import { learnFlow } from './flow-levels.ts';
import type { GrowingRuns } from './growing-runs.ts';
import { keepIdle } from './idle.ts';
import { watchInterleaving } from './interleaved.ts';
import { believePowder } from './powder-trust.ts';
import { keepRows, openPull } from './pull.ts';
import { OUTPUT } from './pull-channels.ts';
import { learnSprayGap } from './spray-gap.ts';
import { judgeStreaks } from './streaks.ts';
import { countCycle, judgeTrigger, triggerChanged } from './trigger-trust.ts';
import { watchRows } from './watch-rows.ts';
import { watchDewPoint } from './wet-air.ts';

/** The fixed things of a station that cutting needs. */
export interface CutContext {
  readonly station: string;
  readonly isGun: boolean;
  readonly outputMeasured: boolean;
  /** The output is a set value: it holds like the trigger. */
  readonly outputSet: boolean;
  readonly atmosphereBar: number;
  /** Places in WATCHED of the channels that the plant file says are fitted. */
  readonly fitted: ReadonlySet<number>;
}

/** A set output that moves by more than this share is another recipe. Source: own choice, above rounding. */
const NEW_RECIPE_SHARE = 0.02;

/** Share of readings in which a set output may change; above it, it is a measurement under another name. Source: own choice. */
const MOST_SET_CHANGES = 0.1;

/** Frames of an air point between two looks at its sensors. Source: own choice. */
const AIR_LOOK_EVERY = 64;

/**
 * Stage one: takes in the next readings of a station and appends the spray runs that they complete. Where a
 * stream is cut into blocks makes no difference.
 *
 * @param frames strictly ascending, all later than `state.lastTime`
 * @throws {RangeError} if they are not: late readings need an earlier state
 */
export function cutRuns(context: CutContext, state: CutState, frames: Frames, runs: GrowingRuns): void {
  const rows = blockRows(frames, context.outputSet);
  const { length } = frames.times;
  for (let index = 0; index < length; index++) cutRow(context, state, rows, index, runs);
  keepPull(state, rows, length);
  watchTo(state, rows, length);
}

function cutRow(context: CutContext, state: CutState, rows: BlockRows, index: number, runs: GrowingRuns): void {
  const time = rows.times[index]!;
  if (!(time > state.lastTime)) throw new RangeError(`frame at ${time}: expected one after ${state.lastTime}`);
  const gap = time - state.lastTime;
  if (state.frames++ === 0) state.firstTime = time;
  else if (gap > HOLD_MS) {
    keepPull(state, rows, index);
    noteSilence(context, state, time, runs);
  } else if (endsByPause(state, gap)) {
    keepPull(state, rows, index);
    releasePull(context, state, Number.POSITIVE_INFINITY, runs);
  }

  const trigger = rows.triggers[index]!;
  if (!Number.isNaN(trigger)) {
    state.readings++;
    if (trigger !== state.trigger) triggerChanged(context.station, state, time);
    state.trigger = trigger;
    state.triggerHolds = true;
  }
  const flowed = state.flowing;
  const flow = rows.flows[index]!;
  if (!Number.isNaN(flow) && takeFlow(context.station, state, flow, time)) judgeTrigger(context.station, state, time);
  else if (flowed && (!state.triggerHolds || state.triggerDistrusted)) learnSprayGap(state.sprayGap, gap);
  if (!Number.isNaN(rows.temperatures[index]!)) {
    state.temperature = rows.temperatures[index]!;
    state.temperatureTime = time;
  }
  if (!Number.isNaN(rows.dewPoints[index]!))
    watchDewPoint(state.dewPoint, context.station, time, rows.dewPoints[index]!, state.facts);
  let changed = !Number.isNaN(rows.powders[index]!) && takePowder(context.station, state, rows, index, runs);
  if (context.outputSet) {
    if (!Number.isNaN(rows.outputs[index]!)) changed = takeSetOutput(state, rows.outputs[index]!) || changed;
    rows.kept[OUTPUT]![index] = state.setOutput;
  }

  const spraying =
    context.isGun && (state.triggerHolds && !state.triggerDistrusted ? state.trigger === 1 : state.flowing);
  rows.spraying[index] = spraying ? 1 : 0;
  rows.switches[index] = state.switches;
  if (spraying) {
    if (!state.pull.open) {
      openPull(state, time, true, true);
      rows.keptTo = index;
    } else if (changed || time - state.pull.start >= LONGEST_PIECE_MS)
      cutPull(context, state, rows, index, changed, runs);
  } else if (state.pull.open) {
    keepPull(state, rows, index);
    releasePull(context, state, time, runs);
    lookAtSensors(context, state, rows, index, true);
  } else {
    keepIdle(state, time, rows.read, index);
    // Where no trigger tells of pulls, a flow that stands at none ends them all: then nothing else calls for a look.
    if ((!context.isGun || Number.isNaN(state.trigger)) && state.frames % AIR_LOOK_EVERY === 0)
      lookAtSensors(context, state, rows, index, false);
  }
  state.lastTime = time;
}

/** Takes the rows before `to` into the pull, if one is open. */
function keepPull(state: CutState, rows: BlockRows, to: number): void {
  if (state.pull.open) keepRows(state.pull, rows.times, rows.kept, rows.keptTo, to);
  rows.keptTo = to;
}

/** Takes the rows before `to` into the streaks. */
function watchTo(state: CutState, rows: BlockRows, to: number): void {
  state.readings += watchRows(state.streaks, rows, rows.watchedTo, to, state.facts);
  rows.watchedTo = to;
}

/**
 * Looks after the row at hand whether any channel is stuck or not read any more.
 *
 * @param sprayed a pull or a piece of one has ended
 */
function lookAtSensors(context: CutContext, state: CutState, rows: BlockRows, index: number, sprayed: boolean): void {
  watchTo(state, rows, index + 1);
  const { streaks, facts } = state;
  const time = rows.times[index]!;
  judgeStreaks(streaks, context, context.isGun ? state.switches : 0, time, facts);
  lookForAbsences(state.absences, streaks, context, sprayed, time, facts);
}

/** Another piece of the same pull begins, or another recipe or powder in it. */
function cutPull(
  context: CutContext,
  state: CutState,
  rows: BlockRows,
  index: number,
  changed: boolean,
  runs: GrowingRuns,
): void {
  const time = rows.times[index]!;
  keepPull(state, rows, index);
  closePull(context, state, time, runs);
  judgeTrigger(context.station, state, time);
  lookAtSensors(context, state, rows, index, true);
  if (!state.triggerDistrusted || state.flowing) openPull(state, time, false, changed);
}

function noteSilence(context: CutContext, state: CutState, time: number, runs: GrowingRuns): void {
  forget(context, state, runs);
  if (time - state.lastTime >= SILENCE_MS)
    state.facts.push({ kind: 'silence', station: context.station, time: state.lastTime, until: time });
}

/**
 * Says that a station sent nothing up to `time`: a trigger that was on no longer holds, and its pull becomes a run.
 * Later frames give the same runs and facts with or without this call.
 */
export function passTime(context: CutContext, state: CutState, time: number, runs: GrowingRuns): void {
  if (state.frames > 0 && time - state.lastTime > HOLD_MS) forget(context, state, runs);
}

/** @returns true when air came or went */
function takeFlow(station: string, state: CutState, flow: number, time: number): boolean {
  const { levels } = state;
  learnFlow(levels, flow);
  const { spraying, off } = levels;
  const fact = watchInterleaving(state.interleaving, station, time, flow, spraying, off, state.interval);
  if (fact !== null) state.facts.push(fact);
  const flowing = state.flowing ? flow >= levels.off : flow > levels.on;
  if (flowing === state.flowing) return false;
  state.flowing = flowing;
  countCycle(state, flowing, time);
  state.airSince = time;
  return true;
}

/** @returns true when another powder is in use */
function takePowder(station: string, state: CutState, rows: BlockRows, index: number, runs: GrowingRuns): boolean {
  const read = rows.powders[index]!;
  state.readings++;
  if (read !== rows.powder) {
    rows.powder = read;
    rows.powderPlace = runs.powderIndex(rows.strings[read]!);
    state.powders = runs.powderCount;
  }
  const powder = believePowder(state.powderTrust, station, rows.powderPlace, rows.times[index]!, state.facts);
  const changed = powder !== state.powder && state.powder >= 0;
  state.powder = powder;
  return changed;
}

/** @returns true when another recipe begins; a "set" value that changes all the time is none */
function takeSetOutput(state: CutState, set: number): boolean {
  const changed = Math.abs(set - state.setOutput) > NEW_RECIPE_SHARE * Math.abs(state.setOutput);
  state.setOutput = set;
  state.setChangeRate += 0.02 * (Number(changed) - state.setChangeRate);
  return changed && state.setChangeRate < MOST_SET_CHANGES;
}
