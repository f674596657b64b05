import { setTimeout as pause } from 'node:timers/promises';
import { AppError } from '../../collector/contract/errors.ts';

/** Tries, and the pause before each further one, ms. Source: own choice, half a minute: a machine that has just begun is busy. */
const TRIES = 6;
const PAUSE_MS = 1000;

/** What is told: a body, and the key by which it counts once however often it comes. */
export interface Told {
  readonly body: unknown;
  readonly key?: string;
}

/** The HTTP door of a running service, for what the demo's people ask and write there. */
export class ServiceDoor {
  readonly #url: string;
  readonly #signal: AbortSignal;

  constructor(httpUrl: string, signal: AbortSignal) {
    this.#url = httpUrl;
    this.#signal = signal;
  }

  /** @throws {AppError} INTERNAL when the service refuses, or is not reached in all tries */
  async ask(path: string): Promise<unknown> {
    return (await this.#send('GET', path, null)).json();
  }

  /**
   * Writes something. What has no key carries the version that it changes, so told again after a lost answer it is in
   * conflict with itself, and has been taken.
   *
   * @returns the answer; null where only the answer to an earlier try was lost
   * @throws {AppError} INTERNAL when the service refuses, or is not reached in all tries
   */
  async tell(method: 'POST' | 'PUT', path: string, told: Told): Promise<unknown> {
    const answer = await this.#send(method, path, told);
    return answer.status === 409 || answer.status === 204 ? null : answer.json();
  }

  async #send(method: string, path: string, told: Told | null): Promise<Response> {
    const headers: Record<string, string> = told === null ? {} : { 'content-type': 'application/json' };
    if (told?.key !== undefined) headers['idempotency-key'] = told.key;
    const body = told === null ? null : JSON.stringify(told.body);
    for (let lost = 0; ; ) {
      const answer = await this.#once(path, { method, headers, body, signal: this.#signal }, lost + 1 < TRIES);
      if (answer === null) {
        await pause(PAUSE_MS * ++lost, undefined, { signal: this.#signal });
        continue;
      }
      // Months of records are told at once: a service that is asked too much says when it may be asked again.
      if (answer.status === 429) {
        await pause(1000 * (Number(answer.headers.get('retry-after')) || 1), undefined, { signal: this.#signal });
        continue;
      }
      if (answer.ok || (answer.status === 409 && lost > 0 && told?.key === undefined)) return answer;
      throw new AppError('INTERNAL', `the service answered ${answer.status} to ${path}: ${await answer.text()}`);
    }
  }

  /** One try; null when the connection was lost and another may follow, as happens to one that idled while a side was busy. */
  async #once(path: string, request: RequestInit, again: boolean): Promise<Response | null> {
    try {
      return await fetch(new URL(path, this.#url), request);
    } catch (error) {
      // fetch tells a lost connection by a TypeError; an abort is none.
      if (this.#signal.aborted || !(error instanceof TypeError)) throw error;
      if (again) return null;
      const { cause } = error;
      throw new AppError(
        'INTERNAL',
        `no answer of the service to ${path}: ${cause instanceof Error ? cause.message : error.message}`,
      );
    }
  }
}
