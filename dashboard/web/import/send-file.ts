import { ApiFault, ask } from '../api.ts';
import { send } from '../shop/send.ts';
import type { Import } from './import-types.ts';

/** Longest wait for one piece, ms. Source: own choice, 4 MiB over a slow shop network. */
const PIECE_PATIENCE_MS = 60_000;
/** Wait after "too many requests", ms. Source: own choice; the limit is counted by the minute. */
const PAUSE_MS = 2000;

/**
 * Sends a file piece by piece, from where it was interrupted before.
 *
 * @throws {ApiFault} with the sentence to show; what arrived stays
 */
export async function sendFile(
  file: File,
  maxPieceBytes: number,
  tell: (now: Import) => void,
  signal: AbortSignal,
): Promise<Import> {
  let now = await send<Import>('POST', '/api/imports', { file: file.name, bytes: file.size });
  tell(now);
  while (now.stage === 'arriving' && !signal.aborted) {
    const piece = file.slice(now.received, now.received + maxPieceBytes);
    try {
      now = await ask<Import>(`/api/imports/${now.id}/bytes?offset=${now.received}`, {
        method: 'PUT',
        headers: { 'Content-Type': 'application/octet-stream' },
        body: piece,
        signal: AbortSignal.any([signal, AbortSignal.timeout(PIECE_PATIENCE_MS)]),
      });
      tell(now);
    } catch (error) {
      if (signal.aborted) return now;
      if (!(error instanceof ApiFault) || error.problem?.code !== 'TOO_MANY') throw error;
      await new Promise((resolve) => setTimeout(resolve, PAUSE_MS));
    }
  }
  return now;
}
