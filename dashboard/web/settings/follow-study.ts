import type { CurvePoint, StudyAnswer } from '../../../analyzer/index.ts';
import type { Settings } from '../../../collector/contract/index.ts';
import { ApiFault, ask } from '../api.ts';

/** How far a study has come. */
export interface StudyNow {
  readonly id: string;
  readonly state: 'running' | 'done' | 'refused';
  /** A bundle is sent to the service, the stored runs are read, or settings are tried on them. */
  readonly stage: 'sending' | 'loading' | 'trying';
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
/** Until a service that is not reached is asked again, ms. Source: own choice. */
const AGAIN_MS = 2000;

/** Longest wait for a sign of life, ms. Source: own choice; it is answered beside all other work. */
const SIGN_PATIENCE_MS = 3000;
/** What is said where the service lives and does not come to a question. */
const BUSY =
  'driftline is there, but too busy to take the question: it did not answer in time. Nothing was lost or changed; ask again in a moment.';

/** Asks a question. @throws {ApiFault} with the sentence to show: a busy service is told from one that is not reached */
export async function askStudy(question: Question): Promise<StudyNow> {
  try {
    return await ask('/api/studies', {
      method: 'POST',
      headers: { 'Content-Type': 'application/json' },
      body: JSON.stringify(question),
    });
  } catch (error) {
    throw isUnanswered(error) && (await isAlive()) ? new ApiFault(BUSY, null, { cause: error }) : error;
  }
}

/** True where nothing came for as long as is waited: a connection that breaks is known at once. */
function isUnanswered(error: unknown): boolean {
  const cause = error instanceof ApiFault && error.problem === null ? error.cause : null;
  return cause instanceof DOMException && cause.name === 'TimeoutError';
}

function isAlive(): Promise<boolean> {
  return fetch('/healthz', { signal: AbortSignal.timeout(SIGN_PATIENCE_MS) }).then(
    ({ ok }) => ok,
    () => false,
  );
}

/**
 * Tells how far a study has come until it is answered. While the service is not reached it is asked again: the study goes on there, and
 * the page's frame says that the connection is lost.
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
  let wait = LOOK_MS;
  while (now.state === 'running') {
    tell(now);
    await new Promise((resolve) => setTimeout(resolve, wait));
    if (signal.aborted) {
      await ask(`/api/studies/${now.id}`, { method: 'DELETE' });
      return now;
    }
    const next = await unlessLost(ask<StudyNow>(`/api/studies/${now.id}`));
    wait = next === null ? AGAIN_MS : LOOK_MS;
    now = next ?? now;
  }
  tell(now);
  return now;
}

/** The answer; null where the service was not reached. @throws {ApiFault} where it refused */
function unlessLost<T>(answer: Promise<T>): Promise<T | null> {
  return answer.catch((error: unknown) => {
    if (error instanceof ApiFault && error.problem === null) return null;
    throw error;
  });
}
