import type { Store } from '../../collector/index.ts';
import type { StationCutter } from './station-cutter.ts';

/** Stations whose state is written down in one transaction. Source: own choice: a millisecond or two, for which commits of readings wait. */
const STATIONS_A_STEP = 4;

/**
 * What a restart needs is written down in steps of a transaction each, short enough that commits of readings need not wait
 * for them. The site comes first, and once more with every few stations: a station whose late readings are written down is
 * not looked at again after a kill, so what the site knew beyond them has to go from the store with it.
 *
 * @param flushBasis what all else depends on
 * @param silences tells from when on facts are still needed, epoch ms
 */
export function* flushSteps(
  store: Store,
  cutters: Iterable<StationCutter>,
  flushBasis: () => void,
  flushSite: () => void,
  { neededFrom }: { readonly neededFrom: number },
): Generator<() => void> {
  yield () =>
    store.transaction(() => {
      flushSite();
      flushBasis();
    });
  const stale = [...cutters].filter((cutter) => cutter.stale);
  for (let from = 0; from < stale.length; from += STATIONS_A_STEP)
    yield () =>
      store.transaction(() => {
        flushSite();
        for (const cutter of stale.slice(from, from + STATIONS_A_STEP)) cutter.flush(store, neededFrom);
      });
}
