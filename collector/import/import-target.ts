import { setTimeout as pause } from 'node:timers/promises';
import { AppError } from '../contract/errors.ts';
import { openStore } from '../store/embedded.ts';
import { isTaken } from '../store/service-lock.ts';
import type { Store } from '../store/store.ts';
import { startWriter } from '../store/writer.ts';
import { type ImportPiece, Spool } from './spool.ts';

/** Pieces that may wait for the service, how often it is looked after, and how long it may take for one, ms. */
const MOST_WAITING = 4;
const LOOK_MS = 100;
const PATIENCE_MS = 60_000;

/** Where an import's readings go: the store itself, or the service that runs on it. */
export interface ImportTarget {
  readonly store: Store;
  /** A service runs on the folder and takes them over. */
  readonly served: boolean;
  /** Resolves when the piece is durable; `mark` is kept together with it. */
  put(piece: ImportPiece, mark: { readonly key: string; readonly bytes: Uint8Array }): Promise<void>;
  /** Resolves when all is where it belongs. */
  finish(): Promise<void>;
  close(): Promise<void>;
}

/**
 * Opens a data folder for an import, whether a service runs on it or not.
 *
 * @throws {AppError} STORE_UNUSABLE, DISK_FULL
 */
export async function openImportTarget(dir: string, now: () => number): Promise<ImportTarget> {
  try {
    return await ownTarget(dir);
  } catch (error) {
    if (!isTaken(error)) throw error;
    return servedTarget(dir, now);
  }
}

async function ownTarget(dir: string): Promise<ImportTarget> {
  const writer = await startWriter(dir);
  // Where some of it is damaged, whoever imports it again must not be refused for that.
  const store = openStore(dir, { leaveOutDamaged: true });
  // What an earlier import has left for a service that did not come to it.
  const spool = new Spool(store.states);
  for (const key of spool.waiting()) {
    await writer.commit(spool.take(key)!);
    spool.done(key);
  }
  return {
    store,
    served: false,
    put: async (piece, { key, bytes }) => {
      await writer.commit(piece);
      // After it: if we end in between, the piece comes again and is dropped as a repeat.
      store.states.put(key, bytes);
    },
    finish: () => writer.settle(),
    close: async () => {
      await writer.stop();
      store.close();
    },
  };
}

function servedTarget(dir: string, now: () => number): ImportTarget {
  const store = openStore(dir, { leaveOutDamaged: true });
  const spool = new Spool(store.states);
  let order = now() * 1000;
  const waitFor = async (most: number): Promise<void> => {
    let until = now() + PATIENCE_MS;
    for (let before = Number.POSITIVE_INFINITY; ; ) {
      const waiting = spool.waiting().length;
      if (waiting <= most) return;
      if (waiting < before) until = now() + PATIENCE_MS;
      before = waiting;
      if (now() > until)
        throw new AppError(
          'NOT_READY',
          `${dir}: the service that runs on it has not taken over what was imported for ${PATIENCE_MS / 1000} s; it will when it can, and the same import then goes on`,
        );
      await pause(LOOK_MS);
    }
  };
  return {
    store,
    served: true,
    put: async (piece, { key, bytes }) => {
      await waitFor(MOST_WAITING);
      store.transaction(() => {
        spool.put(order++, 'import', piece);
        store.states.put(key, bytes);
      });
    },
    finish: () => waitFor(0),
    close: async () => store.close(),
  };
}
