import type { StationFact } from '../site.ts';
import type { CutState } from './cut-state.ts';

/** A pull that is open may have begun so long ago, ms, and end a fact then: the longest piece of one and more. */
const OPEN_MS = 10 * 60_000;

/** When a fact was over, epoch ms; Infinity while it lasts. */
export function endOf(fact: StationFact): number {
  return 'until' in fact ? (fact.until ?? Number.POSITIVE_INFINITY) : fact.time;
}

/**
 * Takes the facts out of a state that were over before a time: what follows does not depend on them, and a state that held them all would
 * grow for as long as its station sends.
 *
 * @param before epoch ms; at most up to shortly before the newest reading, because later ones bring no fact that was over then
 * @returns the facts that were taken out, as they stood in the state
 */
export function settleFacts(state: CutState, before: number): StationFact[] {
  const limit = Math.min(before, state.lastTime - OPEN_MS);
  if (limit <= state.settledBefore) return [];
  state.settledBefore = limit;
  const places: number[] = [];
  const kept: StationFact[] = [];
  const settled: StationFact[] = [];
  for (const fact of state.facts) {
    const stays = endOf(fact) >= limit;
    places.push(stays ? kept.length : -1);
    (stays ? kept : settled).push(fact);
  }
  if (settled.length === 0) return settled;
  const placeOf = (fact: number): number => (fact < 0 ? -1 : places[fact]!);
  state.facts = kept;
  state.airlessFact = placeOf(state.airlessFact);
  state.triggerFact = placeOf(state.triggerFact);
  state.dewPoint.fact = placeOf(state.dewPoint.fact);
  state.powderTrust.fact = placeOf(state.powderTrust.fact);
  for (const { fact } of [state.streaks, state.absences])
    for (let channel = 0; channel < fact.length; channel++) fact[channel] = placeOf(fact[channel]!);
  return settled;
}
