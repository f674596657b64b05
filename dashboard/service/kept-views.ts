import { GunView } from '../../analyzer/index.ts';
import type { Store } from '../../collector/index.ts';

const KEY = 'views';
/** Source: own choice, because commands that read them ask about weeks. */
const EVERY_MS = 60_000;

/** Keeps what the analysis last said of the guns in the store, now and then, for commands that run without it. */
export function viewsKeeper(store: Store, now: () => number): (views: readonly GunView[]) => void {
  let keptAt = Number.NEGATIVE_INFINITY;
  return (views) => {
    if (views.length === 0 || now() - keptAt < EVERY_MS) return;
    keptAt = now();
    store.states.put(KEY, Buffer.from(JSON.stringify(views)));
  };
}

/** What a service on this store last kept; nothing where none did, or where an older one kept something else. */
export function keptViews(store: Store): GunView[] {
  const bytes = store.states.get(KEY);
  if (bytes === null) return [];
  const parsed = GunView.array().safeParse(JSON.parse(Buffer.from(bytes).toString('utf8')));
  return parsed.success ? parsed.data : [];
}
