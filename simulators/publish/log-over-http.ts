import { z } from 'zod';
import type { LogEntry } from '../../collector/contract/log-entry.ts';
import { ACTIONS, FOUND } from '../../collector/contract/parts.ts';
import type { ServiceDoor } from './service-door.ts';

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
  readonly #door: ServiceDoor;
  readonly #known = new Set<string>();
  #asked = false;

  constructor(door: ServiceDoor) {
    this.#door = door;
  }

  /**
   * Writes an entry, as `POST /api/log` takes it.
   *
   * @throws {AppError} INTERNAL when the service refuses it
   */
  async tell({ time, ...fields }: LogEntry): Promise<void> {
    const key = `demo:${time}:${fields.gun}:${fields.part}:${fields.action}`;
    const body = { ...fields, time: new Date(time).toISOString() };
    this.#known.add(Recorded.parse(await this.#door.tell('POST', '/api/log', { body, key })).id);
  }

  /**
   * Entries that others have written since the last call; all that are there are known after the first.
   *
   * @throws {AppError} INTERNAL when the service does not answer the question
   */
  async news(): Promise<LogEntry[]> {
    const entries = z.array(Recorded).parse(await this.#door.ask('/api/log?limit=50'));
    const first = !this.#asked;
    this.#asked = true;
    const fresh = entries.filter(({ id }) => !this.#known.has(id));
    for (const { id } of fresh) this.#known.add(id);
    return first ? [] : fresh.map(({ id: _, time, ...fields }) => ({ ...fields, time: Date.parse(time) }));
  }
}
