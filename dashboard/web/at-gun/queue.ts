import { signal } from '@preact/signals';
import type { LogEntryBody } from '../../../collector/contract/log-entry.ts';
import type { Recorded } from '../../server/endpoints/log.ts';
import { ApiFault, ask } from '../api.ts';

/** An entry on its way. It lies in the browser's storage until the service has confirmed or refused it. */
export interface Waiting {
  /** Idempotency key: sent again, it is written down once. */
  readonly key: string;
  readonly body: LogEntryBody;
  /** In words, for the list. */
  readonly words: string;
  /** Why the service refused it; null while it waits for the network. */
  readonly refused: string | null;
  /** True where it may be sent again as another work of the same kind. */
  readonly again: boolean;
}

const PREFIX = 'driftline.waiting.';

/** Entries of this browser, oldest first. */
export const waiting = signal<readonly Waiting[]>([]);

/** Each entry has a place of its own in the storage: two open pages never overwrite each other's. */
function read(): Waiting[] {
  const keys = Array.from({ length: localStorage.length }, (_, index) => localStorage.key(index) ?? '');
  return keys
    .filter((key) => key.startsWith(PREFIX))
    .flatMap((key) => {
      const text = localStorage.getItem(key);
      return text === null ? [] : [JSON.parse(text) as Waiting];
    })
    .sort((left, right) => ((left.body.time ?? '') < (right.body.time ?? '') ? -1 : 1));
}

function keep(entry: Waiting): void {
  localStorage.setItem(PREFIX + entry.key, JSON.stringify(entry));
  waiting.value = read();
}

/** Forgets an entry that was confirmed, or that its writer gives up. */
export function drop(key: string): void {
  localStorage.removeItem(PREFIX + key);
  waiting.value = read();
}

/** Puts an entry in; it leaves as soon as the service can be reached. */
export function put(entry: Pick<Waiting, 'key' | 'body' | 'words'>): void {
  keep({ ...entry, refused: null, again: false });
}

/** Lets a refused entry try again, as another work of the same kind. */
export function retryAsAnother(entry: Waiting): void {
  keep({ ...entry, body: { ...entry.body, again: true }, refused: null, again: false });
}

let sending: Promise<Recorded[]> | null = null;

/**
 * Sends what waits, oldest first, and stops where the service is not reached.
 *
 * @returns what was confirmed
 */
export function sendWaiting(): Promise<Recorded[]> {
  sending ??= sendAll().finally(() => {
    sending = null;
  });
  return sending;
}

async function sendAll(): Promise<Recorded[]> {
  const confirmed: Recorded[] = [];
  waiting.value = read();
  for (const entry of waiting.value.filter(({ refused }) => refused === null)) {
    try {
      const recorded = await ask<Recorded>('/api/log', {
        method: 'POST',
        headers: { 'Content-Type': 'application/json', 'Idempotency-Key': entry.key },
        body: JSON.stringify(entry.body),
      });
      drop(entry.key);
      confirmed.push(recorded);
    } catch (error) {
      if (!(error instanceof ApiFault)) throw error;
      const { problem } = error;
      // Without an answer, or with one that time may mend, it waits on; what was refused is kept for its writer to see.
      if (problem === null || problem.status >= 500 || [401, 408, 429].includes(problem.status)) return confirmed;
      keep({ ...entry, refused: error.message, again: problem.code === 'LOGGED_ALREADY' });
    }
  }
  return confirmed;
}
