import type { Log } from '../../collector/index.ts';

/** Tells every listener the same. The fault of one is logged: it must not keep those after it from being told. */
export function tellEach<News>(listeners: Iterable<(news: News) => void>, news: News, log: Log): void {
  for (const listener of listeners) {
    try {
      listener(news);
    } catch (error) {
      const fault = error instanceof Error ? (error.stack ?? error.message) : String(error);
      log.error({ error: fault }, 'one that is told of the hall failed; the others are told');
    }
  }
}
