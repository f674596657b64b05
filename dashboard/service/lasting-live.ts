import { setTimeout as pause } from 'node:timers/promises';
import type { Live, LiveUpdate } from '../../analyzer/index.ts';
import { AppError, type Code } from '../../collector/contract/index.ts';
import type { Log } from '../../collector/index.ts';
import { tellEach } from './tell-each.ts';

/** Until a full disk or a locked store is tried again, ms. Source: own choice, because room comes back by a person's hand. */
const PAUSE_MS = 5000;

/** What the service needs of the live analysis. */
export type LastingLive = Pick<Live, 'notify' | 'logChanged' | 'clocksReported' | 'onUpdate' | 'stop' | 'ended'>;

/** What is over by itself or by a person's hand, and what the analysis waits for then. */
const WAITS_UNTIL: Partial<Record<Code, string>> = {
  DISK_FULL: 'there is room on the disk',
  STORE_LOCKED: 'no other program keeps the store locked',
};
const waitsUntil = (error: unknown): string | undefined =>
  error instanceof AppError ? WAITS_UNTIL[error.code] : undefined;

/**
 * A live analysis that outlives a full disk, and a store that another program keeps locked: its thread ends then, and is started
 * anew until it can write. It finds in the store what it missed. The intake holds back its acknowledgements meanwhile by itself.
 *
 * @param start starts the analysis; a fault of its first call is the caller's
 * @returns `ended` rejects for any other fault, and resolves after `stop`
 */
export async function lastingLive(start: () => Promise<Live>, log: Log, pauseMs = PAUSE_MS): Promise<LastingLive> {
  const listeners = new Set<(update: LiveUpdate) => void>();
  const stopping = new AbortController();
  let live: Live | null = await start();

  const startAgain = async (): Promise<Live | null> => {
    while (!stopping.signal.aborted) {
      await pause(pauseMs, undefined, { signal: stopping.signal }).catch(() => undefined);
      try {
        if (!stopping.signal.aborted) return await start();
      } catch (error) {
        if (waitsUntil(error) === undefined) throw error;
      }
    }
    return null;
  };
  const keepRunning = async (): Promise<void> => {
    while (live !== null) {
      live.onUpdate((update) => tellEach(listeners, update, log));
      if (stopping.signal.aborted) await live.stop();
      try {
        return await live.ended;
      } catch (error) {
        const until = waitsUntil(error);
        if (until === undefined) throw error;
        live = null;
        log.error({ error: String(error) }, `the analysis waits until ${until}`);
      }
      live = await startAgain();
      if (live !== null) log.info({}, 'the analysis goes on');
    }
  };
  const ended = keepRunning();
  ended.catch(() => undefined);
  return {
    notify: (stations) => live?.notify(stations),
    logChanged: () => live?.logChanged(),
    clocksReported: (reports) => live?.clocksReported(reports),
    onUpdate: (listener) => {
      listeners.add(listener);
      return () => void listeners.delete(listener);
    },
    stop: async () => {
      stopping.abort();
      // How it ended is what `ended` tells.
      await live?.stop().catch(() => undefined);
      await ended;
    },
    ended,
  };
}
