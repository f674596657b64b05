import { z } from 'zod';
import { AppError } from '../../collector/contract/errors.ts';
import type { LogEntry } from '../../collector/contract/log-entry.ts';
import { ACTIONS, FOUND } from '../../collector/contract/parts.ts';

/** A log entry as a service gives it. */
const Recorded = z.object({
  id: z.string(),
  time: z.iso.datetime(),
  gun: z.string(),
  part: z.string(),
  action: z.enum(ACTIONS),
  found: z.enum(FOUND).nullable(),
  note: z.string(),
});

/** The maintenance log of a running service, read and written through its HTTP door. */
export class LogOverHttp {
  readonly #url: URL;
  readonly #signal: AbortSignal;
  readonly #known = new Set<string>();
  #asked = false;

  constructor(httpUrl: string, signal: AbortSignal) {
    this.#url = new URL('/api/log', httpUrl);
    this.#signal = signal;
  }

  /**
   * Writes an entry, as `POST /api/log` takes it.
   *
   * @throws {AppError} INTERNAL when the service refuses it
   */
  async tell({ time, ...fields }: LogEntry): Promise<void> {
    const answer = await fetch(this.#url, {
      method: 'POST',
      headers: {
        'content-type': 'application/json',
        // Told again after an answer that got lost, an entry counts once.
        'idempotency-key': `demo:${time}:${fields.gun}:${fields.part}:${fields.action}`,
      },
      body: JSON.stringify({ ...fields, time: new Date(time).toISOString() }),
      signal: this.#signal,
    });
    if (!answer.ok)
      throw new AppError('INTERNAL', `the service answered ${answer.status} to a log entry: ${await answer.text()}`);
    this.#known.add(Recorded.parse(await answer.json()).id);
  }

  /**
   * Entries that others have written since the last call; all that are there are known after the first.
   *
   * @throws {AppError} INTERNAL when the service does not answer the question
   */
  async news(): Promise<LogEntry[]> {
    const answer = await fetch(new URL('?limit=50', this.#url), { signal: this.#signal });
    if (!answer.ok) throw new AppError('INTERNAL', `the service answered ${answer.status} to a question for its log`);
    const entries = z.array(Recorded).parse(await answer.json());
    const first = !this.#asked;
    this.#asked = true;
    const fresh = entries.filter(({ id }) => !this.#known.has(id));
    for (const { id } of fresh) this.#known.add(id);
    return first ? [] : fresh.map(({ id: _, time, ...fields }) => ({ ...fields, time: Date.parse(time) }));
  }
}
