import { Temporal } from 'temporal-polyfill';
import { jobId, type Loop, type LoopJob } from '../../../analyzer/index.ts';
import type { CalendarEvent } from './ical.ts';

const HOUR_MS = 3_600_000;
/** How long work on a gun takes in a calendar, ms. Source: own choice: half an hour for a part, stop and clean-up included. */
const WORK_MS = 30 * 60_000;

/**
 * The plan as a calendar: each open job at its stop, and work that the plan asks for later on the day on which it is due. The name of an event is its job's, so that work keeps
 * its event when it becomes a job.
 *
 * @param site its id makes the names of events those of one site (RFC 7986 section 5.3: unique over the world)
 * @param now epoch ms: due times move with what is sprayed, so that what an event says is true as of its hour
 * @param until no work that is due later than this, epoch ms
 */
export function planEvents(
  loop: Loop,
  { id: siteId, timezone }: { readonly id: string; readonly timezone: string },
  now: number,
  until: number,
): CalendarEvent[] {
  const jobs = loop.jobs.filter(
    ({ state, alert }) => (state === 'open' || state === 'planned') && alert !== 'suppressed-by-design',
  );
  const known = new Set(loop.jobs.map(({ id }) => id));
  const worked = new Set(jobs.map(({ gun, part }) => `${gun} ${part}`));
  const changed = Math.floor(now / HOUR_MS) * HOUR_MS;
  const uid = (id: string): string => `${id}@${siteId}.driftline.invalid`;
  const dayOf = (ms: number): string =>
    Temporal.Instant.fromEpochMilliseconds(Math.floor(ms)).toZonedDateTimeISO(timezone).toPlainDate().toString();
  const events = jobs.flatMap((job): CalendarEvent[] => {
    const start = job.stop?.at ?? job.due;
    if (start === null) return [];
    return [
      {
        uid: uid(job.id),
        start,
        end: start + WORK_MS,
        ...(job.stop === null ? { day: dayOf(start) } : {}),
        summary: `${job.gunName}: ${job.action}`,
        description: describe(job),
        categories: [job.safetyRelevant ? 'safety-relevant' : job.work],
        changed,
        sequence: job.version,
      },
    ];
  });
  const later = loop.guns.flatMap((gun) =>
    gun.due.flatMap((due): CalendarEvent[] => {
      const id = jobId(due.gun, due.part, due.since);
      if (due.due === null || due.due > until || known.has(id) || worked.has(`${due.gun} ${due.part}`)) return [];
      if (gun.outOfService !== null) return [];
      return [
        {
          uid: uid(id),
          start: due.due,
          end: due.due + WORK_MS,
          day: dayOf(due.due),
          summary: `${gun.name}: ${due.work} ${due.part}`,
          description: due.why.join('\n'),
          categories: [due.safetyRelevant ? 'safety-relevant' : due.work],
          changed,
          sequence: 0,
        },
      ];
    }),
  );
  return [...events, ...later].sort((left, right) => left.start - right.start || (left.uid < right.uid ? -1 : 1));
}

function describe(job: LoopJob): string {
  return [
    job.reason,
    job.stop === null ? '' : `Proposed: ${job.stop.name}.`,
    job.benchCheck === null ? '' : `First: ${job.benchCheck.title}.`,
    job.together.length === 0 ? '' : `The same stop does ${job.together.length} more at this gun.`,
    job.cautions[0] ?? '',
  ]
    .filter((line) => line !== '')
    .join('\n');
}
