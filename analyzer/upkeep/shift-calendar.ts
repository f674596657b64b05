import { Temporal } from 'temporal-polyfill';
import { z } from 'zod';

const Clock = z.string().regex(/^([01]\d|2[0-3]):[0-5]\d$/, 'expected a time of day, HH:MM');
const Day = z.iso.date('expected a date, YYYY-MM-DD').meta({ example: '2026-12-25' });
const Weekdays = z
  .array(z.number().int().min(1).max(7))
  .min(1)
  .max(7)
  .meta({ description: 'Days of the week, 1 Monday to 7 Sunday' });
const Local = z
  .string()
  .regex(/^\d{4}-\d{2}-\d{2}T\d{2}:\d{2}$/, 'expected the plant’s local time, YYYY-MM-DDTHH:MM')
  .refine((text) => isLocal(text), 'expected a date and time that exist');
const Name = z.string().min(1).max(80);

function isLocal(text: string): boolean {
  try {
    Temporal.PlainDateTime.from(text, { overflow: 'reject' });
    return true;
  } catch (error) {
    if (error instanceof RangeError) return false;
    throw error;
  }
}

/** When a shop works, in the plant's own local time; a shift that ends before it starts goes on past midnight. */
export const ShiftCalendar = z
  .strictObject({
    shifts: z
      .array(z.strictObject({ name: Name, days: Weekdays, start: Clock, end: Clock }))
      .max(50)
      .meta({ description: 'Shifts of a week' }),
    holidays: z
      .array(z.strictObject({ date: Day, name: Name.optional() }))
      .max(1000)
      .default([])
      .meta({ description: 'Days on which no shift starts' }),
    stops: z
      .array(z.strictObject({ from: Local, to: Local, name: Name }))
      .max(1000)
      .default([])
      .meta({ description: 'Planned stops of the line: nothing is sprayed, work on guns is welcome' }),
    colourChanges: z
      .array(z.strictObject({ days: Weekdays, at: Clock }))
      .max(200)
      .default([])
      .meta({ description: 'Colour changes that come every week' }),
  })
  .superRefine((calendar, context) => {
    for (const [index, { from, to }] of calendar.stops.entries())
      if (from >= to)
        context.addIssue({
          code: 'custom',
          path: ['stops', index, 'to'],
          message: `expected an end after the start ${from}`,
        });
  })
  .meta({ id: 'ShiftCalendar' });
export type ShiftCalendar = z.infer<typeof ShiftCalendar>;

/** Until a shop says otherwise. Source: handbook of the trade, one shift of 8 h, 5 days a week; its hours are our own choice. */
export const USUAL_CALENDAR: ShiftCalendar = {
  shifts: [{ name: 'Day', days: [1, 2, 3, 4, 5], start: '06:00', end: '14:00' }],
  holidays: [],
  stops: [],
  colourChanges: [],
};

/** A time in which the shop works, or one that is planned, epoch ms. */
export interface Span {
  readonly start: number;
  readonly end: number;
  readonly name: string;
}

const atZone = (date: Temporal.PlainDate, clock: string, timezone: string): number =>
  // A time that daylight saving skips counts on from before it, one that comes twice is the first: RFC 5545 section 3.3.5.
  date.toZonedDateTime({ timeZone: timezone, plainTime: Temporal.PlainTime.from(clock) }).epochMilliseconds;

const dateAt = (ms: number, timezone: string): Temporal.PlainDate =>
  Temporal.Instant.fromEpochMilliseconds(Math.floor(ms)).toZonedDateTimeISO(timezone).toPlainDate();

/** A local time of the plant, `YYYY-MM-DDTHH:MM`, as an instant in epoch ms. */
export function instantOfLocal(local: string, timezone: string): number {
  return Temporal.PlainDateTime.from(local).toZonedDateTime(timezone).epochMilliseconds;
}

/** The end of the local day that lies `days` calendar days after the day of `from`, epoch ms. */
export function daysAfter(from: number, days: number, timezone: string): number {
  const last = dateAt(from, timezone).add({ days: Math.ceil(days) });
  return last.add({ days: 1 }).toZonedDateTime({ timeZone: timezone }).epochMilliseconds - 1000;
}

/** Whole calendar days from one instant to another, by the plant's dates. */
export function daysBetween(from: number, to: number, timezone: string): number {
  return dateAt(from, timezone).until(dateAt(to, timezone), { largestUnit: 'days' }).days;
}

/** Shifts that overlap [from, to), in order of their start; holidays and planned stops are left out, a stop cuts a shift short. */
export function* shiftsFrom(calendar: ShiftCalendar, timezone: string, from: number, to: number): Generator<Span> {
  const holidays = new Set(calendar.holidays.map(({ date }) => date));
  const stops = plannedStops(calendar, timezone);
  const last = dateAt(to, timezone);
  let date = dateAt(from, timezone).subtract({ days: 1 });
  for (; Temporal.PlainDate.compare(date, last) <= 0; date = date.add({ days: 1 })) {
    if (holidays.has(date.toString())) continue;
    const today = calendar.shifts
      .filter(({ days }) => days.includes(date.dayOfWeek))
      .map(({ name, start, end }): Span => {
        const next = end <= start ? date.add({ days: 1 }) : date;
        return { name, start: atZone(date, start, timezone), end: atZone(next, end, timezone) };
      })
      .sort((left, right) => left.start - right.start);
    for (const shift of today)
      for (const part of outside(shift, stops)) if (part.end > from && part.start < to) yield part;
  }
}

/** What of a shift lies outside the planned stops. */
function outside(shift: Span, stops: readonly Span[]): Span[] {
  let parts = [shift];
  for (const stop of stops)
    parts = parts.flatMap((part) => {
      if (stop.end <= part.start || stop.start >= part.end) return [part];
      const before = { ...part, end: stop.start };
      const after = { ...part, start: stop.end };
      return [before, after].filter(({ start, end }) => end > start);
    });
  return parts;
}

/** Planned stops as instants, by their start. */
export function plannedStops(calendar: ShiftCalendar, timezone: string): Span[] {
  return calendar.stops
    .map(({ from, to, name }) => ({
      name,
      start: instantOfLocal(from, timezone),
      end: instantOfLocal(to, timezone),
    }))
    .sort((left, right) => left.start - right.start);
}
