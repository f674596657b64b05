import type { CutState } from './cut-state.ts';

/** Air switched on so often during one pull, or so often and for so long without any, contradicts the trigger. Source: own choice, see below. */
const CYCLES_WHILE_ON = 4;
const CYCLES_WHILE_OFF = 8;
const LEAST_MS = 10 * 60_000;

/** A trigger that is on for so long without air is stuck, ms. */
const ON_WITHOUT_AIR_MS = 15 * 60_000;

/** Air that rests for so long ends a row of cycles, ms: purges of several colour changes are not one row. */
const ROW_ENDS_MS = 10 * 60_000;

// Source of all five: own choice. Purging at a colour change blows air some few times without the trigger,
// and nobody holds a trigger for a quarter of an hour when nothing comes out.

/** Counts air that comes on against a trigger that stands still; called before `airSince` moves. */
export function countCycle(state: CutState, flowing: boolean, time: number): void {
  if (!flowing) return;
  if (state.trigger !== 1 && time - state.airSince > ROW_ENDS_MS) state.airCycles = 0;
  if (state.airCycles++ === 0) state.firstCycle = time;
}

/** The trigger changed: whatever was held against it is over. */
export function triggerChanged(state: CutState, time: number): void {
  if (state.triggerFact >= 0) {
    const fact = state.facts[state.triggerFact]!;
    if (fact.kind === 'stuck') state.facts[state.triggerFact] = { ...fact, until: time };
    state.triggerFact = -1;
  }
  state.triggerDistrusted = false;
  state.triggerSince = time;
  state.airCycles = 0;
}

/** Stops trusting a trigger that has stood still while the air said otherwise, and adds the fact. */
export function judgeTrigger(station: string, state: CutState, time: number): void {
  if (!state.triggerHolds || state.triggerDistrusted) return;
  const cycling =
    state.trigger === 1
      ? state.airCycles >= CYCLES_WHILE_ON
      : state.airCycles >= CYCLES_WHILE_OFF && time - state.firstCycle >= LEAST_MS;
  const airless =
    state.trigger === 1 &&
    !state.flowing &&
    state.levels.spraying > 0 &&
    time - Math.max(state.triggerSince, state.airSince) >= ON_WITHOUT_AIR_MS;
  if (!cycling && !airless) return;
  state.triggerDistrusted = true;
  state.triggerFact = state.facts.length;
  state.facts.push({
    kind: 'stuck',
    station,
    channel: 'trigger',
    time: state.triggerSince,
    noticed: time,
    until: null,
  });
}
