import type { CurvePoint, StudyAnswer } from '../../../analyzer/index.ts';
import type { Settings } from '../../../collector/contract/index.ts';
import { ask } from '../api.ts';

/** How far a study has come. */
export interface StudyNow {
  readonly id: string;
  readonly state: 'running' | 'done' | 'refused';
  readonly share: number;
  readonly points: readonly CurvePoint[];
  readonly answer: StudyAnswer | null;
  readonly fault: string | null;
}

export interface Question {
  readonly kind: StudyAnswer['kind'];
  readonly proposed: Settings;
  readonly from: string | null;
  readonly to: string | null;
  readonly targetPerGunYear: number | null;
}

/** Source: own choice, four looks a second seem without waiting. */
const LOOK_MS = 250;

const JSON_BODY = { 'Content-Type': 'application/json' };

/**
 * Asks a question and tells how far it has come until it is answered.
 *
 * @param signal ends the study on the service too
 * @throws {ApiFault} with the sentence to show
 */
export async function followStudy(
  question: Question,
  tell: (now: StudyNow) => void,
  signal: AbortSignal,
): Promise<StudyNow> {
  let now = await ask<StudyNow>('/api/studies', { method: 'POST', headers: JSON_BODY, body: JSON.stringify(question) });
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
