import { ApiFault, ask } from '../api.ts';
import { wall } from '../link/live.ts';
import { withLocalTimes } from '../words/site-time.ts';

/** A new key for something that must count once; 128 random bits. */
export function newKey(): string {
  return Array.from(crypto.getRandomValues(new Uint8Array(16)), (byte) => byte.toString(16).padStart(2, '0')).join('');
}

/**
 * Sends a body.
 *
 * @throws {ApiFault} with the sentence to show
 */
export function send<T>(method: 'POST' | 'PUT', path: string, body: unknown, key?: string): Promise<T> {
  const headers: Record<string, string> = { 'Content-Type': 'application/json' };
  if (key !== undefined) headers['Idempotency-Key'] = key;
  return ask<T>(path, { method, headers, body: JSON.stringify(body) });
}

/** Runs `act` and gives the sentence to show where it was refused or not answered; null where it went well. */
export async function faultOf(act: () => Promise<unknown>): Promise<string | null> {
  try {
    await act();
    return null;
  } catch (error) {
    if (!(error instanceof ApiFault)) throw error;
    const site = wall.peek()?.site;
    return site ? withLocalTimes(error.message, site) : error.message;
  }
}
