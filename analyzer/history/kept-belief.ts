import type { Plant } from '../../collector/contract/index.ts';
import type { Store } from '../../collector/index.ts';
import { type StoredBelief, storedBelief } from '../live/stored-belief.ts';

/** A belief serves for so much reading time, ms. Source: own choice, a baseline moves over shifts, and the page says as of when it is. */
const SERVES_MS = 15 * 60_000;

/** Hands out what a store's analysis believes, and keeps it while people said nothing new: going from gun to gun costs one reading of all runs. */
export function keptBelief(store: Store, plant: Plant): () => StoredBelief {
  let kept: { readonly stamp: string; readonly newest: number; readonly belief: StoredBelief } | null = null;
  return () => {
    const newest = Math.max(0, ...store.readings.stations().map(({ lastTime }) => lastTime));
    const said = [store.truths.exclusions(), store.baselines.words(), store.settings.list().length];
    const stamp = JSON.stringify([store.log.lastId(), store.log.corrections(0).length, said]);
    if (kept === null || kept.stamp !== stamp || newest - kept.newest > SERVES_MS)
      kept = { stamp, newest, belief: storedBelief(store, plant) };
    return kept.belief;
  };
}
