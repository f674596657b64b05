import type { CutState } from './cut-state.ts';
import { FLOW, PRESSURE } from './pull-channels.ts';

/** Air must have come up by this age of a pull, ms. Source: own choice, because it takes 1 to 2 s. */
const RISEN_MS = 2000;

/** Pulls and time without air before a person has to hear of it. Source: own choice: one failed pull may be a slip. */
const PULLS = 3;
const TOTAL_MS = 15_000;

/** True when the open pull was long enough for air to come, and none came: neither flow nor pressure. */
export function isAirless(state: CutState): boolean {
  const { pull } = state;
  const from = pull.start + RISEN_MS;
  const flows = pull.columns[FLOW]!;
  const pressures = pull.columns[PRESSURE]!;
  const most = Math.max(0.15, 0.3 * state.usualPressure);
  let seen = 0;
  let flowing = 0;
  let pressed = 0;
  for (let index = 0; index < pull.count; index++) {
    if (pull.times[index]! < from || Number.isNaN(flows[index]!)) continue;
    seen++;
    if (flows[index]! >= state.levels.off) flowing++;
    if (pressures[index]! >= most) pressed++;
  }
  return seen > 0 && flowing * 2 < seen && pressed * 2 < seen;
}

/** Counts a pull without air; the third in a row makes a fact. */
export function noteAirless(station: string, state: CutState, end: number): void {
  const { pull } = state;
  if (state.airless === 0) state.airlessSince = pull.start;
  if (pull.pulled) state.airless++;
  state.airlessMs += end - pull.start;
  if (state.airlessFact >= 0 || state.airless < PULLS || state.airlessMs < TOTAL_MS) return;
  state.airlessFact = state.facts.length;
  state.facts.push({ kind: 'no-air', station, time: state.airlessSince, noticed: end, until: null });
}

/** A pull had air: what was counted is over. */
export function noteAir(state: CutState): void {
  if (state.airless === 0) return;
  if (state.airlessFact >= 0) {
    const fact = state.facts[state.airlessFact]!;
    if (fact.kind === 'no-air') state.facts[state.airlessFact] = { ...fact, until: state.pull.start };
  }
  state.airless = 0;
  state.airlessMs = 0;
  state.airlessFact = -1;
}
