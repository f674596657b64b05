import { ApiFault, ask } from '../api.ts';
import { type OnItsWay, sendPieces } from '../link/send-pieces.ts';
import { send } from '../shop/send.ts';
import type { StudyNow } from './follow-study.ts';

/** As the API tells it. */
interface Bundle extends OnItsWay {
  readonly id: string;
  readonly maxPieceBytes: number;
}

/**
 * Sends a study bundle in pieces, and has its question asked again there.
 *
 * @param tell told the share of it that is there
 * @param signal ends the sending, and what arrived goes
 * @throws {ApiFault} with the sentence to show
 */
export async function sendBundle(file: File, tell: (share: number) => void, signal: AbortSignal): Promise<StudyNow> {
  const begin = (): Promise<Bundle> => send('POST', '/api/studies/bundles', { file: file.name, bytes: file.size });
  const { id } = await sendPieces<Bundle>(
    file,
    {
      begin,
      // A service that was started anew meanwhile knows nothing of it.
      look: begin,
      address: (now) => `/api/studies/bundles/${now.id}`,
      maxPieceBytes: (now) => now.maxPieceBytes,
      tell: ({ received }) => tell(file.size === 0 ? 1 : received / file.size),
    },
    signal,
  );
  if (!signal.aborted) return ask(`/api/studies/bundles/${id}/open`, { method: 'POST' });
  await ask(`/api/studies/bundles/${id}`, { method: 'DELETE' });
  throw new ApiFault(`${file.name}: its sending was ended.`, null);
}
