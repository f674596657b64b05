import { ApiFault, ask } from '../api.ts';

/** Longest wait for one piece, ms. Source: own choice, 4 MiB over a slow shop network. */
const PIECE_PATIENCE_MS = 60_000;
/** Wait after "too many requests", and before a service that was not reached is asked again, ms. Source: own choice. */
const PAUSE_MS = 2000;
/** Pieces do not become smaller than this, bytes. Source: own choice: 20 kbit/s bring it within half a minute, the usual time of a request. */
const LEAST_PIECE_BYTES = 65_536;

/** A file on its way to the service, as that knows it. */
export interface OnItsWay {
  /** Bytes of it that are there. */
  readonly received: number;
}

/** How a file is given to the service. */
export interface Way<Now extends OnItsWay> {
  /** Announces the file: what is there of it tells where to go on. */
  readonly begin: () => Promise<Now>;
  /** Asks how much of it is there. */
  readonly look: (now: Now) => Promise<Now>;
  /** Address that takes its next bytes, without the query. */
  readonly address: (now: Now) => string;
  readonly maxPieceBytes: (now: Now) => number;
  readonly tell: (now: Now) => void;
}

/**
 * Sends a file piece by piece, from where it was interrupted before. A piece that is lost on its way is sent again from what came of it, in
 * smaller pieces: over a slow network a piece may take longer than a request may.
 *
 * @param signal ends the sending; what arrived stays
 * @throws {ApiFault} with the sentence to show, where the service refuses the file or a piece
 */
export async function sendPieces<Now extends OnItsWay>(file: Blob, way: Way<Now>, signal: AbortSignal): Promise<Now> {
  let now = await way.begin();
  let most = way.maxPieceBytes(now);
  way.tell(now);
  while (now.received < file.size && !signal.aborted) {
    try {
      now = await ask<Now>(`${way.address(now)}/bytes?offset=${now.received}`, {
        method: 'PUT',
        headers: { 'Content-Type': 'application/octet-stream' },
        body: file.slice(now.received, now.received + most),
        signal: AbortSignal.any([signal, AbortSignal.timeout(PIECE_PATIENCE_MS)]),
      });
      way.tell(now);
    } catch (error) {
      if (signal.aborted) break;
      if (!isPassing(error)) throw error;
      if (error.problem === null) most = Math.max(Math.min(LEAST_PIECE_BYTES, most), Math.floor(most / 2));
      now = await afterPause(way, now, signal);
    }
  }
  return now;
}

/** True where the same piece may do later: the connection was lost, too much was asked for, or the piece before is still on its way. */
function isPassing(error: unknown): error is ApiFault {
  if (!(error instanceof ApiFault)) return false;
  const code = error.problem?.code;
  return error.problem === null || code === 'TOO_MANY' || code === 'EDITED_MEANWHILE';
}

/** How much is there after a pause, asked until it is told or the sending is ended. @throws {ApiFault} where the service refuses */
async function afterPause<Now extends OnItsWay>(way: Way<Now>, now: Now, signal: AbortSignal): Promise<Now> {
  while (!signal.aborted) {
    await new Promise((resolve) => setTimeout(resolve, PAUSE_MS));
    if (signal.aborted) break;
    try {
      return await way.look(now);
    } catch (error) {
      if (!isPassing(error)) throw error;
    }
  }
  return now;
}
