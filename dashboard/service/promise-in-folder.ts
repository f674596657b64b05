import {
  type GunView,
  knownSpan,
  type ObservedPromise,
  observedPromise,
  storedViews,
  unloggedChanges,
} from '../../analyzer/index.ts';
import type { Settings } from '../../collector/contract/index.ts';
import { openStore, type Store } from '../../collector/index.ts';
import { recordedPlant } from './plant-record.ts';

/** What a data folder tells of the promise. */
export interface PromiseInFolder {
  /** Those that hold. */
  readonly settings: Settings | null;
  readonly observed: ObservedPromise;
}

/**
 * What was observed on a store's guns: judged findings over the time for which they were watched.
 *
 * @param views what the analysis says of the guns now
 */
export function observedInStore(
  store: Store,
  guns: readonly { readonly id: string }[],
  views: readonly GunView[],
): ObservedPromise {
  const suspected = views.flatMap(({ id, silentChanges = [] }) =>
    silentChanges.map((change) => ({ gun: id, ...change })),
  );
  return observedPromise({
    findings: store.findings.list().map(({ finding }) => finding),
    log: store.log.list(),
    judgements: store.truths
      .judgements()
      .flatMap((word) => (word.judged === null ? [] : [{ ...word, judged: word.judged }])),
    unlogged: unloggedChanges(suspected, store.log.list(), store.baselines.dismissals()),
    watched: guns.flatMap(({ id }) => {
      const known = knownSpan(store, id);
      return known === null ? [] : [{ firstTime: known.from, lastTime: known.to }];
    }),
  });
}

/**
 * What a data folder tells of the promise, also while a service runs on it.
 *
 * @throws {AppError} STORE_UNUSABLE, also where no service has run on it yet
 */
export function promiseInFolder(dir: string): PromiseInFolder {
  const store = openStore(dir);
  try {
    const settings = store.settings.list().at(-1)?.settings ?? null;
    const plant = recordedPlant(store, dir);
    return { settings, observed: observedInStore(store, plant.guns, storedViews(store, plant)) };
  } finally {
    store.close();
  }
}
