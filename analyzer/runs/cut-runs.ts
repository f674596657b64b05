import type { Channel, Frames } from '../../collector/contract/index.ts';
import { lookForAbsences } from './absences.ts';
import { type CutState, HOLD_MS, LONGEST_PIECE_MS, SILENCE_MS } from './cut-state.ts';
import { closePull, endsByPause, forget, releasePull } from './finish-pull.ts';
import { learnFlow } from './flow-levels.ts';
import type { GrowingRuns } from './growing-runs.ts';
import { keepIdle } from './idle.ts';
import { watchInterleaving } from './interleaved.ts';
import { believePowder } from './powder-trust.ts';
import { openPull, pushReading } from './pull.ts';
import { FLOW, OUTPUT, PULL_CHANNELS } from './pull-channels.ts';
import { learnSprayGap } from './spray-gap.ts';
import { endStreak, judgeStreaks, WATCHED } from './streaks.ts';
import { countCycle, judgeTrigger, triggerChanged } from './trigger-trust.ts';
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

let absent = new Float64Array(0);

/**
 * Stage one: takes in the next readings of a station and appends the spray runs that they complete. Where a
 * stream is cut into blocks makes no difference.
 *
 * @param frames strictly ascending, all later than `state.lastTime`
 * @throws {RangeError} if they are not: late readings need an earlier state
 */
export function cutRuns(context: CutContext, state: CutState, frames: Frames, runs: GrowingRuns): void {
  const { times } = frames;
  const length = times.length;
  if (absent.length < length) absent = new Float64Array(length).fill(Number.NaN);
  const column = (name: Channel): Float64Array => frames.columns[name] ?? absent;
  const kept = PULL_CHANNELS.map(column);
  const watched = WATCHED.map(column);
  const places = WATCHED.map((_, place) => place).filter((place) => watched[place] !== absent);
  const triggers = column('trigger');
  const powders = column('powder/id');
  const temperatures = column('supply/temperature');
  const dewPoints = column('supply/dewpoint');
  const powderPlaces = new Map<number, number>();
  const flows = kept[FLOW]!;
  const outputs = kept[OUTPUT]!;
  const { streaks, facts } = state;
  const { readings: seen, last, spraying: whileSpraying, idle: whileIdle } = streaks;
  let readings = 0;
  for (const values of Object.values(frames.columns))
    for (let index = 0; index < length; index++) if (!Number.isNaN(values[index]!)) readings++;
  state.readings += readings;

  for (let index = 0; index < length; index++) {
    const time = times[index]!;
    if (!(time > state.lastTime)) throw new RangeError(`frame at ${time}: expected one after ${state.lastTime}`);
    const gap = time - state.lastTime;
    if (state.frames++ === 0) state.firstTime = time;
    else if (gap > HOLD_MS) {
      forget(context, state, runs);
      if (gap >= SILENCE_MS)
        facts.push({ kind: 'silence', station: context.station, time: state.lastTime, until: time });
    } else if (endsByPause(state, gap)) releasePull(context, state, Number.POSITIVE_INFINITY, runs);

    const trigger = triggers[index]!;
    if (!Number.isNaN(trigger)) {
      if (trigger !== state.trigger) triggerChanged(context.station, state, time);
      state.trigger = trigger;
      state.triggerHolds = true;
    }
    const flowed = state.flowing;
    if (!Number.isNaN(flows[index]!) && takeFlow(context.station, state, flows[index]!, time))
      judgeTrigger(context.station, state, time);
    else if (flowed && (!state.triggerHolds || state.triggerDistrusted)) learnSprayGap(state.sprayGap, gap);
    if (!Number.isNaN(temperatures[index]!)) {
      state.temperature = temperatures[index]!;
      state.temperatureTime = time;
    }
    if (!Number.isNaN(dewPoints[index]!))
      watchDewPoint(state.dewPoint, context.station, time, dewPoints[index]!, facts);
    let changed = false;
    if (!Number.isNaN(powders[index]!)) {
      let place = powderPlaces.get(powders[index]!);
      if (place === undefined) {
        place = runs.powderIndex(frames.strings[powders[index]!]!);
        powderPlaces.set(powders[index]!, place);
        state.powders = runs.powderCount;
      }
      const powder = believePowder(state.powderTrust, context.station, place, time, facts);
      changed = powder !== state.powder && state.powder >= 0;
      state.powder = powder;
    }
    if (context.outputSet && !Number.isNaN(outputs[index]!)) changed = takeSetOutput(state, outputs[index]!) || changed;

    const spraying =
      context.isGun && (state.triggerHolds && !state.triggerDistrusted ? state.trigger === 1 : state.flowing);
    const during = spraying ? whileSpraying : whileIdle;
    for (let at = 0; at < places.length; at++) {
      const place = places[at]!;
      const value = watched[place]![index]!;
      if (Number.isNaN(value)) continue;
      seen[place]! += 1;
      if (value !== last[place]!) endStreak(streaks, place, value, time, state.switches, facts);
      during[place]! += 1;
    }

    if (spraying) {
      if (!state.pull.open) openPull(state, time, true, true);
      else if (changed || time - state.pull.start >= LONGEST_PIECE_MS) {
        closePull(context, state, time, runs);
        judgeTrigger(context.station, state, time);
        lookAtSensors(context, state, true, time);
        if (!state.triggerDistrusted || state.flowing) openPull(state, time, false, changed);
      }
      if (state.pull.open) pushReading(state, time, kept, index, context.outputSet);
    } else if (state.pull.open) {
      releasePull(context, state, time, runs);
      lookAtSensors(context, state, true, time);
    } else {
      keepIdle(state, time, kept, index);
      // Where no trigger tells of pulls, a flow that stands at none ends them all: then nothing else calls for a look.
      if ((!context.isGun || Number.isNaN(state.trigger)) && state.frames % AIR_LOOK_EVERY === 0)
        lookAtSensors(context, state, false, time);
    }
    state.lastTime = time;
  }
}

/** @param sprayed a pull or a piece of one has ended */
function lookAtSensors(context: CutContext, state: CutState, sprayed: boolean, time: number): void {
  judgeStreaks(state.streaks, context, context.isGun ? state.switches : 0, time, state.facts);
  lookForAbsences(state.absences, state.streaks, context, sprayed, time, state.facts);
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

/** @returns true when another recipe begins; a "set" value that changes all the time is none */
function takeSetOutput(state: CutState, set: number): boolean {
  const changed = Math.abs(set - state.setOutput) > NEW_RECIPE_SHARE * Math.abs(state.setOutput);
  state.setOutput = set;
  state.setChangeRate += 0.02 * (Number(changed) - state.setChangeRate);
  return changed && state.setChangeRate < MOST_SET_CHANGES;
}
