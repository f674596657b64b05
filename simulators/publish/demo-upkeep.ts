import { z } from 'zod';
import { AppError } from '../../collector/contract/errors.ts';
import type { ShiftPattern } from '../calendar/shop-day.ts';

const DAY_MS = 86_400_000;

const Job = z.object({
  id: z.string(),
  gun: z.string().nullable(),
  finding: z.object({ cause: z.string() }),
  version: z.number(),
});

/** What people of the hall said of its jobs so far, by gun and cause. */
const SAID: readonly { gun: string; cause: string; deed: (now: number) => Record<string, unknown> }[] = [
  { gun: 'gun-08', cause: 'fluidizing-ring', deed: () => ({ deed: 'acknowledge' }) },
  {
    gun: 'gun-03',
    cause: 'conveying-filter',
    deed: (now) => ({ deed: 'plan', for: iso(now + 1.5 * DAY_MS), note: 'with the oven’s service' }),
  },
  {
    gun: 'gun-04',
    cause: 'sensor:conveying/flow',
    deed: (now) => ({ deed: 'shelve', until: iso(now + 2 * DAY_MS), reason: 'a sensor is on order' }),
  },
];

const iso = (ms: number): string => new Date(ms).toISOString();

/** Tells a running service when the demo's hall works, and later what its people said of the jobs. */
export class DemoUpkeep {
  readonly #url: string;
  readonly #signal: AbortSignal;
  readonly #unsaid = new Set(SAID);

  constructor(httpUrl: string, signal: AbortSignal) {
    this.#url = httpUrl;
    this.#signal = signal;
  }

  /** @throws {AppError} INTERNAL when the service refuses it */
  async tellShifts({ starts, hours, weekdays }: ShiftPattern): Promise<void> {
    const shifts = starts.map((start, index) => ({
      name: starts.length === 1 ? 'Day' : `Shift ${index + 1}`,
      days: [...weekdays].sort((left, right) => left - right),
      start,
      end: `${String((Number(start.slice(0, 2)) + hours) % 24).padStart(2, '0')}${start.slice(2)}`,
    }));
    const colourChanges = [{ days: shifts[0]!.days, at: shifts[0]!.end }];
    await this.#send('PUT', '/api/calendar', { version: 0, calendar: { shifts, colourChanges } });
  }

  /**
   * Says what is left to be said of jobs that are there by now. A job that somebody has touched already is left to them.
   *
   * @throws {AppError} INTERNAL when the service refuses it
   */
  async speak(now: number): Promise<void> {
    if (this.#unsaid.size === 0) return;
    const answer = await fetch(new URL('/api/jobs', this.#url), { signal: this.#signal });
    if (!answer.ok) throw new AppError('INTERNAL', `the service answered ${answer.status} to a question for its jobs`);
    const jobs = z.array(Job).parse(await answer.json());
    for (const one of this.#unsaid) {
      const job = jobs.find(({ gun, finding }) => gun === one.gun && finding.cause === one.cause);
      if (job === undefined) continue;
      this.#unsaid.delete(one);
      if (job.version === 0)
        await this.#send('POST', `/api/jobs/${encodeURIComponent(job.id)}/deeds`, { ...one.deed(now), version: 0 });
    }
  }

  async #send(method: string, path: string, body: unknown): Promise<void> {
    const answer = await fetch(new URL(path, this.#url), {
      method,
      headers: { 'content-type': 'application/json' },
      body: JSON.stringify(body),
      signal: this.#signal,
    });
    if (!answer.ok)
      throw new AppError('INTERNAL', `the service answered ${answer.status} to ${path}: ${await answer.text()}`);
  }
}
