import { RUN_FIELDS } from '../../collector/contract/index.ts';
import { isAirless, noteAir, noteAirless } from './airless.ts';
import { describePull, learnFromPull, medianOf, type PullContext, usualInterval } from './close-pull.ts';
import { type CutState, HOLD_MS } from './cut-state.ts';
import type { GrowingRuns } from './growing-runs.ts';
import { clearIdle } from './idle.ts';
import { FLOW } from './pull-channels.ts';
import { usualSprayGap } from './spray-gap.ts';
import { isNoPull } from './trigger-trust.ts';

/** What ending pulls must know of a station. */
export interface StationContext extends PullContext {
  readonly station: string;
}

/** A release that nobody saw is taken to be within this of the last reading while the usual interval is unknown, ms. Source:
 * own choice, because slow loggers report every 10 s. */
const UNKNOWN_INTERVAL_MS = 10_000;

const PRESSURE_FIELD = RUN_FIELDS.indexOf('conveyingPressure');
const row = new Float64Array(RUN_FIELDS.length);

/** A reading below this share of the pull's usual flow already shows the release, where that is inferred. Source: own choice. */
const RELEASED_SHARE = 0.75;

/**
 * Makes a run of the open pull, or counts it as one without air.
 *
 * @param interval usual time between its readings, ms; 0 when there are too few to say
 */
export function closePull(
  context: StationContext,
  state: CutState,
  end: number,
  runs: GrowingRuns,
  interval = usualInterval(state.pull),
): void {
  const { pull } = state;
  pull.open = false;
  if (interval > 0) state.interval = interval;
  if (isAirless(state)) {
    if (!isNoPull(state)) noteAirless(context.station, state, end);
  } else {
    noteAir(state);
    learnFromPull(context, state);
    describePull(context, state, end, row);
    runs.push(row);
    state.runs = runs.length;
    const pressure = row[PRESSURE_FIELD]!;
    if (pressure > 0) state.usualPressure += (pressure - state.usualPressure) * (state.usualPressure > 0 ? 0.05 : 1);
  }
  state.released = end;
  clearIdle(state);
}

/**
 * The trigger was found released at `time`: the pull ended then or, when readings are missing before, one usual
 * interval after the last that saw it on.
 */
export function releasePull(context: StationContext, state: CutState, time: number, runs: GrowingRuns): void {
  const { pull } = state;
  const read = usualInterval(pull);
  const interval = read || state.interval || UNKNOWN_INTERVAL_MS;
  const seen = time - state.lastTime <= Math.min(1.75 * interval, HOLD_MS);
  const end = seen ? time : state.lastTime + Math.min(interval, HOLD_MS);
  state.switches++;
  if (pull.inferred) closePull(context, state, withoutRelease(pull, end), runs);
  else closePull(context, state, end, runs, read);
}

/** Where flow tells of spraying, drops the readings in which it is already falling; returns when the fall began. */
function withoutRelease(pull: CutState['pull'], end: number): number {
  const flows = pull.columns[FLOW]!;
  const usual = medianOf(flows, pull.count);
  let from = end;
  while (pull.count > 1 && !(flows[pull.count - 1]! >= RELEASED_SHARE * usual)) from = pull.times[--pull.count]!;
  return from;
}

/** Shortest pause in the readings that may be one in spraying, ms. Source: own choice. */
const PAUSE_MS = 8000;

/** Inferred spraying ends with a pause in the readings: nodes report more slowly when idle. */
export function endsByPause(state: CutState, gapMs: number): boolean {
  if (!state.pull.open || !state.pull.inferred || gapMs <= PAUSE_MS) return false;
  return gapMs > 3 * Math.max(state.interval, usualSprayGap(state.sprayGap));
}

/** The station was silent for longer than trigger and set output hold: nothing is known any more. */
export function forget(context: StationContext, state: CutState, runs: GrowingRuns): void {
  if (state.pull.open) releasePull(context, state, Number.POSITIVE_INFINITY, runs);
  state.triggerHolds = false;
  state.flowing = false;
  // Air that is there again has not come on against a trigger that stood still: whatever both did meanwhile was not seen.
  state.airCycles = 0;
  state.setOutput = Number.NaN;
}
