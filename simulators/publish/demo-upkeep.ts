import { z } from 'zod';
import type { ShiftPattern } from '../calendar/shop-day.ts';
import type { ServiceDoor } from './service-door.ts';

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

/** The demo's shift began three hours ago, whatever hour that was. */
const shiftName = (hour: number): string => (hour < 4 ? 'Night' : hour < 11 ? 'Early' : hour < 19 ? 'Late' : 'Night');

const iso = (ms: number): string => new Date(ms).toISOString();

/** Tells a running service when the demo's hall works, and later what its people said of the jobs. */
export class DemoUpkeep {
  readonly #door: ServiceDoor;
  readonly #unsaid = new Set(SAID);

  constructor(door: ServiceDoor) {
    this.#door = door;
  }

  /** @throws {AppError} INTERNAL when the service refuses it */
  async tellShifts({ starts, hours, weekdays }: ShiftPattern): Promise<void> {
    const shifts = starts.map((start, index) => ({
      name: starts.length === 1 ? shiftName(Number(start.slice(0, 2))) : `Shift ${index + 1}`,
      days: [...weekdays].sort((left, right) => left - right),
      start,
      end: `${String((Number(start.slice(0, 2)) + hours) % 24).padStart(2, '0')}${start.slice(2)}`,
    }));
    const colourChanges = [{ days: shifts[0]!.days, at: shifts[0]!.end }];
    await this.#door.tell('PUT', '/api/calendar', { body: { version: 0, calendar: { shifts, colourChanges } } });
  }

  /**
   * Says what is left to be said of jobs that are there by now. A job that somebody has touched already is left to them.
   *
   * @throws {AppError} INTERNAL when the service refuses it
   */
  async speak(now: number): Promise<void> {
    if (this.#unsaid.size === 0) return;
    const jobs = z.array(Job).parse(await this.#door.ask('/api/jobs'));
    for (const one of this.#unsaid) {
      const job = jobs.find(({ gun, finding }) => gun === one.gun && finding.cause === one.cause);
      if (job === undefined) continue;
      this.#unsaid.delete(one);
      if (job.version === 0)
        await this.#door.tell('POST', `/api/jobs/${encodeURIComponent(job.id)}/deeds`, {
          body: { ...one.deed(now), version: 0 },
        });
    }
  }
}
