import type { Store } from '../../collector/index.ts';
import type { StationCutter } from './station-cutter.ts';

/** Stations whose state is written down in one transaction. Source: own choice: some milliseconds. */
const STATIONS_A_STEP = 16;

/**
 * What a restart needs is written down in steps of a transaction each, short enough that commits of readings need not wait
 * for them. The site comes first: a station that was written after it is only looked at again.
 */
export function* flushSteps(
  store: Store,
  cutters: Iterable<StationCutter>,
  flushSite: () => void,
): Generator<() => void> {
  yield () => store.transaction(flushSite);
  const stale = [...cutters].filter((cutter) => cutter.stale);
  for (let from = 0; from < stale.length; from += STATIONS_A_STEP)
    yield () =>
      store.transaction(() => {
        for (const cutter of stale.slice(from, from + STATIONS_A_STEP)) cutter.flush(store);
      });
}
