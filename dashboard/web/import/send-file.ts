import { ask } from '../api.ts';
import { sendPieces } from '../link/send-pieces.ts';
import { send } from '../shop/send.ts';
import type { Import } from './import-types.ts';

/**
 * Sends a file of readings, from where it was interrupted before.
 *
 * @throws {ApiFault} with the sentence to show; what arrived stays
 */
export function sendFile(
  file: File,
  maxPieceBytes: number,
  tell: (now: Import) => void,
  signal: AbortSignal,
): Promise<Import> {
  return sendPieces<Import>(
    file,
    {
      begin: () => send<Import>('POST', '/api/imports', { file: file.name, bytes: file.size }),
      look: ({ id }) => ask(`/api/imports/${id}`),
      address: ({ id }) => `/api/imports/${id}`,
      maxPieceBytes: () => maxPieceBytes,
      tell,
    },
    signal,
  );
}
