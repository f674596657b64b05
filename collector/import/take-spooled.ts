import type { Log } from '../log.ts';
import type { CommitOutcome, Store, Writer } from '../store/store.ts';
import { type ImportPiece, Spool } from './spool.ts';

/** How often the service looks for imports, ms. Source: own choice, because imports are done by people, who wait a second. */
const LOOK_MS = 1000;

export interface SpoolTaker {
  stop(): Promise<void>;
}

/**
 * Takes over what imports have put down, as long as the service runs, and tells of it as of any other readings: findings follow as
 * if they had come in time.
 */
export function takeSpooled(
  store: Store,
  writer: Pick<Writer, 'commit'>,
  log: Log,
  onCommitted: (outcome: CommitOutcome, piece: ImportPiece) => void,
): SpoolTaker {
  const spool = new Spool(store.states);
  let stopping = false;
  let troubled = false;
  let busy: Promise<void> = Promise.resolve();
  let timer: NodeJS.Timeout | null = null;

  const takeAll = async (): Promise<void> => {
    try {
      for (const key of spool.waiting()) {
        const piece = stopping ? null : spool.take(key);
        if (piece === null) continue;
        const outcome = await writer.commit(piece);
        // What is committed and not taken away yet would be dropped as a repeat.
        spool.done(key);
        onCommitted(outcome, piece);
      }
      troubled = false;
    } catch (error) {
      // A full disk, say: it stays where it is and is tried again.
      if (!troubled) log.warn({ error: String(error) }, 'an import waits until it can be stored');
      troubled = true;
    }
    if (!stopping) timer = setTimeout(look, LOOK_MS);
  };
  const look = (): void => {
    busy = takeAll();
  };
  look();
  return {
    stop: async () => {
      stopping = true;
      if (timer !== null) clearTimeout(timer);
      await busy;
    },
  };
}
