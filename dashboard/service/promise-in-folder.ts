import {
  type GunView,
  knownSpan,
  type ObservedPromise,
  observedPromise,
  unloggedChanges,
} from '../../analyzer/index.ts';
import type { Plant, Settings } from '../../collector/contract/index.ts';
import { openStore, type Store } from '../../collector/index.ts';
import { keptViews } from './kept-views.ts';
import { recordedPlant } from './plant-record.ts';

/** What a data folder tells of the promise. */
export interface PromiseInFolder {
  /** Those that hold. */
  readonly settings: Settings | null;
  readonly observed: ObservedPromise;
  /** What it is without, one sentence each; none as a rule. */
  readonly missing: readonly string[];
}

/**
 * What was observed on a store's guns: judged findings over the time for which they were watched.
 *
 * @param views what the analysis says of the guns now; nothing is known of changes that nobody logged on guns that it says nothing of
 */
export function observedInStore(
  store: Store,
  guns: readonly { readonly id: string }[],
  views: readonly GunView[],
): ObservedPromise {
  const suspected = views.flatMap(({ id, silentChanges = [] }) =>
    silentChanges.map((change) => ({ gun: id, ...change })),
  );
  const { undecided, forgotten } = unloggedChanges(suspected, store.log.list(), store.baselines.dismissals());
  const unknown = gunsUntold(guns, views).map((id) => [id, Number.POSITIVE_INFINITY] as const);
  return observedPromise({
    findings: store.findings.list().map(({ finding }) => finding),
    log: store.log.list(),
    judgements: store.truths
      .judgements()
      .flatMap((word) => (word.judged === null ? [] : [{ ...word, judged: word.judged }])),
    unlogged: { undecided, forgotten: new Map([...forgotten, ...unknown]) },
    watched: guns.flatMap(({ id }) => {
      const known = knownSpan(store, id);
      return known === null ? [] : [{ firstTime: known.from, lastTime: known.to }];
    }),
  });
}

/** Guns of whose changes that nobody logged the analysis says nothing, not even that there were none. */
function gunsUntold(guns: readonly { readonly id: string }[], views: readonly GunView[]): string[] {
  const told = new Set(views.flatMap(({ id, silentChanges }) => (silentChanges === undefined ? [] : [id])));
  return guns.flatMap(({ id }) => (told.has(id) ? [] : [id]));
}

/**
 * What a data folder tells of the promise. What the analysis says is what the store last kept of it; also while a service runs on it.
 *
 * @throws {AppError} STORE_UNUSABLE, also where no service has run on it yet
 */
export function promiseInFolder(dir: string): PromiseInFolder {
  const store = openStore(dir);
  try {
    const settings = store.settings.list().at(-1)?.settings ?? null;
    const plant = recordedPlant(store, dir);
    const views = keptViews(store);
    return {
      settings,
      observed: observedInStore(store, plant.guns, views),
      missing: missingViews(store, plant, views),
    };
  } finally {
    store.close();
  }
}

/** Says of which guns that have findings the store keeps nothing that the analysis says. */
function missingViews(store: Store, plant: Plant, views: readonly GunView[]): string[] {
  const found = new Set(store.findings.list().map(({ finding }) => finding.gun));
  const untold = new Set(gunsUntold(plant.guns, views).filter((id) => found.has(id)));
  if (untold.size === 0) return [];
  const names = plant.guns.flatMap(({ id, name }) => (untold.has(id) ? [name ?? id] : []));
  return [
    `without changes that nobody logged on ${names.join(', ')}: no service of this version has kept them here yet; findings that they may explain count as not judged`,
  ];
}
