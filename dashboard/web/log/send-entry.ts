import type { LogEntryBody } from '../../../collector/contract/log-entry.ts';
import type { Recorded } from '../../server/endpoints/log.ts';
import { ask } from '../api.ts';

/** An entry on its way: sent again under the same key, it is written down once. */
export interface Parcel {
  readonly key: string;
  readonly body: LogEntryBody;
}

/** A new key for each entry; 128 random bits. */
export function parcel(body: LogEntryBody): Parcel {
  const bytes = crypto.getRandomValues(new Uint8Array(16));
  return { key: Array.from(bytes, (byte) => byte.toString(16).padStart(2, '0')).join(''), body };
}

/**
 * Sends an entry.
 *
 * @throws {ApiFault} when it was refused, or when there was no answer; then it may be sent again
 */
export function send({ key, body }: Parcel): Promise<Recorded> {
  return ask<Recorded>('/api/log', {
    method: 'POST',
    headers: { 'Content-Type': 'application/json', 'Idempotency-Key': key },
    body: JSON.stringify(body),
  });
}
