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

/**
 * Changes in a row that the air contradicted, from which the trigger says the opposite, and so many that it agreed with, from
 * which it is trusted again. Source: own choice: six pulls; a missed release contradicts once or twice.
 */
const REVERSED_FROM = 12;

/** Contradicted at the press and at the release: no pull, whatever the trigger says. Air that is missing contradicts at releases alone. */
const NO_PULL = 2;

/**
 * Whether air flowed for most of the time for which the trigger stood as it did: a node may send one of the two some seconds after the other, and then they
 * differ at each change.
 */
function flowedMostly({ flowing, airSince, triggerSince }: CutState, time: number): boolean {
  return 2 * (time - airSince) >= time - triggerSince ? flowing : !flowing;
}

/** Air flows until a release and not until a press: counts changes that agree with that, and those that do not. */
function voteOnTrigger(station: string, state: CutState, time: number): void {
  if (Number.isNaN(state.trigger) || flowedMostly(state, time) !== state.flowing) return;
  const agrees = (state.trigger === 1) === state.flowing;
  const { triggerVotes } = state;
  state.triggerVotes = agrees ? Math.max(1, triggerVotes + 1) : Math.min(-1, triggerVotes - 1);
  if (!state.triggerReversed && state.triggerVotes <= -REVERSED_FROM) {
    state.triggerReversed = true;
    addFact(station, state, time, {
      detail: 'conveying air flows while the trigger signal says off, and not while it says on: it says the opposite',
    });
  } else if (state.triggerReversed && state.triggerVotes >= REVERSED_FROM) state.triggerReversed = false;
}

/** A pull without air that the trigger only seems to tell of. */
export function isNoPull(state: CutState): boolean {
  return state.triggerVotes <= -NO_PULL;
}

/** The trigger changed: what was held against it is over, unless it says the opposite of the air. */
export function triggerChanged(station: string, state: CutState, time: number): void {
  voteOnTrigger(station, state, time);
  if (state.triggerFact >= 0 && !state.triggerReversed) {
    const fact = state.facts[state.triggerFact]!;
    if (fact.kind === 'stuck') state.facts[state.triggerFact] = { ...fact, until: time };
    state.triggerFact = -1;
  }
  state.triggerDistrusted = state.triggerReversed;
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
  addFact(station, state, time);
}

/** The fact of a trigger that is not to be trusted, open from its last change on. */
function addFact(station: string, state: CutState, time: number, more: { readonly detail?: string } = {}): void {
  state.triggerFact = state.facts.length;
  const { triggerSince } = state;
  state.facts.push({
    kind: 'stuck',
    station,
    channel: 'trigger',
    time: triggerSince,
    noticed: time,
    until: null,
    ...more,
  });
}
