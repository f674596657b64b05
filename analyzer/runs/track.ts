import type { Plant } from '../../collector/contract/index.ts';
import type { StationFact, Track } from '../site.ts';
import { atmosphereBar } from './atmosphere.ts';
import type { CutContext } from './cut-runs.ts';
import { type CutState, SILENCE_MS } from './cut-state.ts';
import type { GrowingRuns } from './growing-runs.ts';
import { WATCHED } from './streaks.ts';

/** What cutting needs to know of each station of a plant, by id. */
export function cutContexts(plant: Plant): Map<string, CutContext> {
  const atmosphere = atmosphereBar(plant.site.altitude);
  const contexts = new Map<string, CutContext>();
  for (const gun of plant.guns)
    contexts.set(gun.id, {
      station: gun.id,
      isGun: true,
      outputMeasured: gun.output === 'measured',
      outputSet: gun.output === 'setpoint',
      atmosphereBar: atmosphere,
      fitted: new Set(WATCHED.flatMap((name, place) => (gun.channels?.[name] === undefined ? [] : [place]))),
    });
  for (const point of plant.air)
    contexts.set(point.id, {
      station: point.id,
      isGun: false,
      outputMeasured: false,
      outputSet: false,
      atmosphereBar: atmosphere,
      fitted: new Set(),
    });
  return contexts;
}

/**
 * What stage one made of a station, as stage two takes it.
 *
 * @param upTo reading time up to which the site is known: a station that was silent for 30 minutes then has an open silence
 * @param more facts from elsewhere, e.g. readings refused as out of range
 */
export function trackOf(state: CutState, runs: GrowingRuns, upTo: number, more: readonly StationFact[] = []): Track {
  const facts = [...state.facts, ...more];
  if (upTo - state.lastTime >= SILENCE_MS)
    facts.push({ kind: 'silence', station: runs.gun, time: state.lastTime, until: null });
  facts.sort((left, right) => noticedAt(left) - noticedAt(right));
  return { station: runs.gun, runs: runs.table(), facts, firstTime: state.firstTime, lastTime: state.lastTime };
}

/** Reading time at which a fact was known. */
export function noticedAt(fact: StationFact): number {
  if (fact.kind === 'silence') return fact.time + SILENCE_MS;
  return 'noticed' in fact ? fact.noticed : fact.time;
}
