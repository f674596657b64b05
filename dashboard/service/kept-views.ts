import { GunView } from '../../analyzer/index.ts';
import type { Log, Store } from '../../collector/index.ts';

const KEY = 'views';
/** Source: own choice, because commands that read them ask about weeks. */
const EVERY_MS = 60_000;

/** Keeps what the analysis last said of the guns in the store, once a minute, for commands that run without it. */
export class ViewsKeeper {
  readonly #store: Store;
  readonly #log: Log;
  readonly #timer: NodeJS.Timeout;
  #fresh: readonly GunView[] | null = null;

  constructor(store: Store, log: Log) {
    this.#store = store;
    this.#log = log;
    this.#timer = setInterval(() => this.#keep(), EVERY_MS);
  }

  update(views: readonly GunView[]): void {
    if (views.length > 0) this.#fresh = views;
  }

  async stop(): Promise<void> {
    clearInterval(this.#timer);
    this.#keep();
  }

  #keep(): void {
    if (this.#fresh === null) return;
    try {
      this.#store.states.put(KEY, Buffer.from(JSON.stringify(this.#fresh)));
      this.#fresh = null;
    } catch (error) {
      // A full disk, or another program's lock: what can be computed anew must not end the service.
      this.#log.warn(
        { error: String(error) },
        'what the analysis says of the guns was not kept; it will be tried again',
      );
    }
  }
}

/** What a service on this store last kept; nothing where none did, or where an older one kept something else. */
export function keptViews(store: Store): GunView[] {
  const bytes = store.states.get(KEY);
  if (bytes === null) return [];
  const parsed = GunView.array().safeParse(JSON.parse(Buffer.from(bytes).toString('utf8')));
  return parsed.success ? parsed.data : [];
}
