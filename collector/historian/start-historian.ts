import type { Log } from '../log.ts';
import type { Store } from '../store/store.ts';
import { startThread } from '../thread.ts';
import type { HistorianConfig } from './historian-config.ts';
import type { FromHistorian, HistorianStart, HistorianState, ToHistorian } from './historian-messages.ts';
import { targetName } from './target-of.ts';

/** Patience with a request that is under way when the service stops, ms. Source: own choice: it goes out again anyway. */
const STOP_MS = 2000;

export interface Historian {
  readonly target: string;
  state(): HistorianState;
  /** Ends within some seconds; what was not delivered waits in the store. May be called twice. */
  stop(): Promise<void>;
}

export interface HistorianOptions {
  readonly store: Store;
  readonly dir: string;
  readonly site: string;
  readonly config: HistorianConfig;
  readonly log: Log;
}

/**
 * Starts to deliver readings, runs and findings to the long-term store, in a thread of its own.
 *
 * @returns null where none is configured
 */
export function startHistorian({ store, dir, site, config, log }: HistorianOptions): Historian | null {
  if (config.kind === 'none') {
    const waiting = store.historian.end();
    if (waiting > 0)
      log.warn({ waiting }, 'no long-term store is configured any more: what waited for it stays here only');
    return null;
  }
  const target = targetName(config);
  store.historian.begin(target);
  const thread = startThread(new URL('./historian-thread', import.meta.url), {
    workerData: { dir, site, config } satisfies HistorianStart,
  });
  let state: HistorianState = {
    delivered: 0,
    refused: 0,
    refusal: null,
    waiting: store.historian.waiting(),
    caughtUpAt: null,
    fault: null,
  };
  let stopping: Promise<void> | null = null;
  thread.on('message', ({ state: next }: FromHistorian) => {
    if (next.fault !== null && state.fault === null)
      log.warn({ fault: next.fault }, 'the long-term store takes nothing; what is meant for it waits');
    if (next.fault === null && state.fault !== null)
      log.info({ waiting: next.waiting }, 'the long-term store takes again');
    if (next.refused > state.refused)
      log.error(
        { points: next.refused - state.refused, refusal: next.refusal },
        'the long-term store refused points for good',
      );
    state = next;
  });
  // The service does not live by it: without it everything waits in the store.
  thread.on('error', (error) => {
    log.error(
      { error: error.message },
      'the delivery to the long-term store has ended; it starts anew with the service',
    );
    state = { ...state, fault: error.message };
  });
  const ended = new Promise<void>((resolve) => thread.once('exit', () => resolve()));
  const stop = async (): Promise<void> => {
    thread.postMessage({ kind: 'stop' } satisfies ToHistorian);
    const patience = setTimeout(() => void thread.terminate(), STOP_MS);
    await ended;
    clearTimeout(patience);
  };
  return {
    target,
    state: () => state,
    stop: () => {
      stopping ??= stop();
      return stopping;
    },
  };
}
