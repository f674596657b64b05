import { Temporal } from 'temporal-polyfill';

/** When a hall works, in its local time. */
export interface ShiftPattern {
  /** Local start of each shift, `HH:MM`. */
  readonly starts: readonly string[];
  readonly hours: number;
  /** Minutes from the start of a shift, and length: breaks in which nobody sprays. */
  readonly breaks: readonly { readonly afterMinutes: number; readonly minutes: number }[];
  /** ISO weekdays that are worked, 1 = Monday. */
  readonly weekdays: readonly number[];
}

/** Spans are epoch ms, end exclusive. */
export interface Span {
  readonly start: number;
  readonly end: number;
}

export interface Shift extends Span {
  /** Place of the shift in the pattern. */
  readonly index: number;
  readonly breaks: readonly Span[];
}

/** One local calendar day of a hall. */
export interface ShopDay {
  /** `YYYY-MM-DD`, local. */
  readonly date: string;
  readonly weekday: number;
  /** Empty on days off. */
  readonly shifts: readonly Shift[];
  /** The last shift ends where the next day's first begins. */
  readonly goesOn: boolean;
}

/**
 * The shifts of one local day, in epoch ms. Local times that daylight saving skips move forward, doubled ones
 * take the earlier; a shift keeps its length in hours.
 *
 * @param date local day
 * @param daysOff local dates without work
 * @throws {RangeError} on an unknown time zone or a bad date
 * @example
 * shopDay({ starts: ['06:00'], hours: 8, breaks: [], weekdays: [1, 2, 3, 4, 5] }, 'Europe/Vienna', '2026-03-30', new Set()).shifts[0].start; // 1774843200000
 */
export function shopDay(pattern: ShiftPattern, timezone: string, date: string, daysOff: ReadonlySet<string>): ShopDay {
  const day = Temporal.PlainDate.from(date);
  const works = pattern.weekdays.includes(day.dayOfWeek) && !daysOff.has(date);
  const shifts = works
    ? pattern.starts.map((local, index) => {
        const start = day.toZonedDateTime({
          timeZone: timezone,
          plainTime: Temporal.PlainTime.from(local),
        }).epochMilliseconds;
        return {
          index,
          start,
          end: start + pattern.hours * 3_600_000,
          breaks: pattern.breaks.map(({ afterMinutes, minutes }) => ({
            start: start + afterMinutes * 60_000,
            end: start + (afterMinutes + minutes) * 60_000,
          })),
        };
      })
    : [];
  return { date, weekday: day.dayOfWeek, shifts, goesOn: pattern.starts.length * pattern.hours === 24 };
}

/** The local date some days after another. */
export function addDays(date: string, days: number): string {
  return Temporal.PlainDate.from(date).add({ days }).toString();
}

/** Local date of an instant. */
export function localDate(timeMs: number, timezone: string): string {
  return Temporal.Instant.fromEpochMilliseconds(timeMs).toZonedDateTimeISO(timezone).toPlainDate().toString();
}

/** An instant as ISO 8601 with the zone's offset at that time, whole seconds: `2026-03-02T09:10:00+01:00`. */
export function isoWithOffset(timeMs: number, timezone: string): string {
  return Temporal.Instant.fromEpochMilliseconds(Math.floor(timeMs / 1000) * 1000)
    .toZonedDateTimeISO(timezone)
    .toString({ timeZoneName: 'never', smallestUnit: 'second' });
}
