import { ask } from '../api.ts';

/** Source: own choice, because the check of a password takes a second or two and may have to wait for others. */
const PATIENCE_MS = 60_000;

/**
 * Sends a change to the API.
 *
 * @throws {ApiFault} with the sentence to show
 */
export function sendJson<T>(method: 'POST' | 'PUT' | 'DELETE', path: string, body?: unknown): Promise<T> {
  return ask<T>(path, {
    method,
    ...(body === undefined ? {} : { headers: { 'Content-Type': 'application/json' }, body: JSON.stringify(body) }),
    signal: AbortSignal.timeout(PATIENCE_MS),
  });
}
