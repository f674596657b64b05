import type { Problem } from '../server/problem.ts';

/** A request that was answered with a problem, or not at all. */
export class ApiFault extends Error {
  /** Null when there was no answer. */
  readonly problem: Problem | null;

  constructor(message: string, problem: Problem | null, options?: ErrorOptions) {
    super(message, options);
    this.name = 'ApiFault';
    this.problem = problem;
  }
}

/** What is said while the service is not reached. */
export const NO_CONNECTION = 'No connection to driftline.';

/** Source: own choice, because on a shop's network an answer takes milliseconds; who waits longer has no connection. */
const PATIENCE_MS = 8000;

/**
 * Asks the API.
 *
 * @throws {ApiFault} with the sentence to show
 */
export async function ask<T>(path: string, init: RequestInit = {}): Promise<T> {
  const answer = await fetch(path, { signal: AbortSignal.timeout(PATIENCE_MS), ...init }).catch((error: unknown) => {
    throw new ApiFault(NO_CONNECTION, null, { cause: error });
  });
  const body: unknown = await answer.json().catch((error: unknown) => {
    throw new ApiFault(`An answer that cannot be read (status ${answer.status}).`, null, { cause: error });
  });
  if (answer.ok) return body as T;
  const found = body as Problem;
  throw new ApiFault(`${found.title}: ${String(found.detail).replace(POINTER, fieldName)}`, found);
}

/** Where in a body something is, as programs read it: "#/overrides/0/gun:". */
const POINTER = /#\/([^\s:]+):/g;

/** The same for people: "overrides 0 gun:". */
function fieldName(_pointer: string, path: string): string {
  return `${path.replaceAll('/', ' ')}:`;
}
