import { Temporal } from 'temporal-polyfill';
import type { LoopJob } from './loop-job.ts';
import { plannedStops, type ShiftCalendar, shiftsFrom } from './shift-calendar.ts';

/** A time at which a gun stands still anyway. */
export type Stop = NonNullable<LoopJob['stop']>;

/** How far ahead stops are looked for, ms. Source: own choice, because beyond a quarter nobody plans a stop. */
const AHEAD_MS = 92 * 86_400_000;

/**
 * Colour changes, shift ends and planned stops of the shop from `from` on, in order of time, epoch ms.
 *
 * @param observed colour changes that the runs show, for a calendar that names none
 */
export function stopsFrom(
  calendar: ShiftCalendar,
  timezone: string,
  from: number,
  observed: ShiftCalendar['colourChanges'] = [],
): Stop[] {
  const to = from + AHEAD_MS;
  const stops: Stop[] = [];
  for (const { end, name } of shiftsFrom(calendar, timezone, from, to))
    if (end >= from && end < to) stops.push({ kind: 'shift-end', at: end, name: `end of shift ${name}` });
  for (const { start, end, name } of plannedStops(calendar, timezone))
    if (end > from && start < to) stops.push({ kind: 'planned-stop', at: Math.max(start, from), name });
  const stated = calendar.colourChanges.length > 0;
  const weekly = stated ? calendar : { ...calendar, colourChanges: observed };
  stops.push(
    ...colourChanges(weekly, stated ? 'colour change' : 'usual colour change, by the runs', timezone, from, to),
  );
  return stops.sort((left, right) => left.at - right.at);
}

function colourChanges(calendar: ShiftCalendar, name: string, timezone: string, from: number, to: number): Stop[] {
  const stops: Stop[] = [];
  const holidays = new Set(calendar.holidays.map(({ date }) => date));
  let date = Temporal.Instant.fromEpochMilliseconds(Math.floor(from)).toZonedDateTimeISO(timezone).toPlainDate();
  for (let at = from; calendar.colourChanges.length > 0 && at < to; date = date.add({ days: 1 })) {
    at = date.toZonedDateTime(timezone).epochMilliseconds;
    if (holidays.has(date.toString())) continue;
    for (const change of calendar.colourChanges) {
      if (!change.days.includes(date.dayOfWeek)) continue;
      const time = date.toZonedDateTime({
        timeZone: timezone,
        plainTime: Temporal.PlainTime.from(change.at),
      }).epochMilliseconds;
      if (time >= from && time < to) stops.push({ kind: 'colour-change', at: time, name });
    }
  }
  return stops;
}

/** Jobs whose time is so near that the stop for another does them too, ms. Source: own choice: two working weeks, less than a stop more costs. */
const NEAR_MS = 14 * 86_400_000;

/** What of a job decides when it is done. */
export type Timed = Pick<LoopJob, 'id' | 'gun' | 'due' | 'planned' | 'category'>;

/**
 * A stop for each job, so that one stop of a gun does all that is near: each gun's most pressing job goes to the last stop before it is due
 * (the next one where it is due already, or known by no date), and takes along what is due within two weeks after it. A failure is for now.
 *
 * @param stops ascending by time, all of them at `now` or later
 * @returns stop by job id; jobs for which there is no stop are absent
 */
export function proposeStops(jobs: readonly Timed[], stops: readonly Stop[], now: number): Map<string, Stop> {
  const proposed = new Map<string, Stop>();
  for (const gun of new Set(jobs.map((job) => job.gun))) {
    const ofGun = jobs.filter((job) => job.gun === gun);
    const waiting = ofGun.sort((left, right) => pressing(left, now) - pressing(right, now));
    while (waiting.length > 0) {
      const first = waiting.shift()!;
      const stop = stopFor(first, stops, now);
      if (stop === null) continue;
      proposed.set(first.id, stop);
      for (let i = waiting.length - 1; i >= 0; i--) {
        const job = waiting[i]!;
        if (job.planned !== null || pressing(job, now) > stop.at + NEAR_MS) continue;
        proposed.set(job.id, stop);
        waiting.splice(i, 1);
      }
    }
  }
  return proposed;
}

/** When a job presses: a chosen time, its due time, or the next stop where it has none. */
const pressing = ({ planned, due, category }: Timed, now: number): number =>
  planned !== null ? planned.for : category === 'failure' ? now : Math.max(due ?? now, now);

function stopFor(job: Timed, stops: readonly Stop[], now: number): Stop | null {
  if (job.planned !== null) return { kind: 'chosen', at: job.planned.for, name: 'as planned' };
  if (job.category === 'failure') return { kind: 'at-once', at: now, name: 'at once' };
  const due = Math.max(job.due ?? now, now);
  return stops.findLast(({ at }) => at <= due) ?? stops[0] ?? null;
}
