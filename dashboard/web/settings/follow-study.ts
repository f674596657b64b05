import type { CurvePoint, StudyAnswer } from '../../../analyzer/index.ts';
import type { Settings } from '../../../collector/contract/index.ts';
import { ask } from '../api.ts';

/** How far a study has come. */
export interface StudyNow {
  readonly id: string;
  readonly state: 'running' | 'done' | 'refused';
  readonly stage: 'loading' | 'trying';
  readonly share: number;
  readonly points: readonly CurvePoint[];
  readonly answer: StudyAnswer | null;
  readonly fault: string | null;
}

export interface Question {
  readonly kind: 'compare' | 'curve' | 'suggest';
  readonly proposed: Settings;
  readonly from: string | null;
  readonly to: string | null;
  readonly targetPerGunYear: number | null;
}

/** Source: own choice, four looks a second seem without waiting. */
const LOOK_MS = 250;
/** Longest wait for a bundle's way to the service, ms. Source: own choice, some 60 MB over a slow shop network. */
const SEND_PATIENCE_MS = 120_000;

/** Asks a question. @throws {ApiFault} with the sentence to show */
export function askStudy(question: Question): Promise<StudyNow> {
  return ask('/api/studies', {
    method: 'POST',
    headers: { 'Content-Type': 'application/json' },
    body: JSON.stringify(question),
  });
}

/** Sends a study bundle, which is asked again there. @throws {ApiFault} with the sentence to show */
export function sendBundle(file: File, signal: AbortSignal): Promise<StudyNow> {
  return ask(`/api/studies/bundles?name=${encodeURIComponent(file.name)}`, {
    method: 'POST',
    headers: { 'Content-Type': 'application/octet-stream' },
    body: file,
    signal: AbortSignal.any([signal, AbortSignal.timeout(SEND_PATIENCE_MS)]),
  });
}

/**
 * Tells how far a study has come until it is answered.
 *
 * @param signal ends the study on the service too
 * @throws {ApiFault} with the sentence to show
 */
export async function followStudy(
  begun: StudyNow,
  tell: (now: StudyNow) => void,
  signal: AbortSignal,
): Promise<StudyNow> {
  let now = begun;
  while (now.state === 'running') {
    tell(now);
    await new Promise((resolve) => setTimeout(resolve, LOOK_MS));
    if (signal.aborted) {
      await ask(`/api/studies/${now.id}`, { method: 'DELETE' });
      return now;
    }
    now = await ask<StudyNow>(`/api/studies/${now.id}`);
  }
  tell(now);
  return now;
}
