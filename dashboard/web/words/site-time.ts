import type { Units } from './units.ts';

/** Where and how times are shown: always the plant's time zone, never the viewer's. */
export interface TimeStyle {
  readonly timezone: string;
  readonly units: Units;
}

const formats = new Map<string, Intl.DateTimeFormat>();

function format(style: TimeStyle, name: string, options: Intl.DateTimeFormatOptions): Intl.DateTimeFormat {
  const key = `${style.timezone} ${style.units} ${name}`;
  let found = formats.get(key);
  if (!found) {
    const locale = style.units === 'us' ? 'en-US' : 'en-GB';
    found = new Intl.DateTimeFormat(locale, { timeZone: style.timezone, ...options });
    formats.set(key, found);
  }
  return found;
}

/** "14:32", or "2:32 PM" where the plant has US units: where there is no room to say which of two it is. */
export function bareClock(ms: number, style: TimeStyle): string {
  const options = { hour: style.units === 'us' ? 'numeric' : '2-digit', minute: '2-digit' } as const;
  return format(style, 'clock', options).format(ms);
}

/** The same; in the hour that comes twice when clocks go back "02:30 CEST" and "02:30 CET". */
export function clock(ms: number, style: TimeStyle): string {
  return bareClock(ms, style) + whichOfTwo(ms, style);
}

/** The same with seconds: "14:32:05". */
export function secondsClock(ms: number, style: TimeStyle): string {
  const options = { hour: style.units === 'us' ? 'numeric' : '2-digit', minute: '2-digit', second: '2-digit' } as const;
  return format(style, 'seconds', options).format(ms) + whichOfTwo(ms, style);
}

/** No clock is put by more than this at once to save daylight. Source: IANA time zone database: two hours at the most. */
const MOST_PUT_MS = 2 * 3_600_000;

const DAY_MS = 86_400_000;

/** Days (UTC) near which a zone's clocks are put: a table asks for thousands of times, of which hardly one lies there. */
const putDays = new Map<string, boolean>();

function isNearPutClocks(ms: number, timezone: string): boolean {
  const start = Math.floor(ms / DAY_MS) * DAY_MS;
  const key = `${timezone} ${start}`;
  let found = putDays.get(key);
  if (found === undefined) {
    found = offsetMinutes(start - MOST_PUT_MS, timezone) !== offsetMinutes(start + DAY_MS + MOST_PUT_MS, timezone);
    putDays.set(key, found);
  }
  return found;
}

/** " CET" where the same clock time comes twice that night; nothing at all other times. */
function whichOfTwo(ms: number, style: TimeStyle): string {
  const { timezone } = style;
  if (!isNearPutClocks(ms, timezone)) return '';
  const at = offsetMinutes(ms, timezone);
  const comesAgain = [ms - MOST_PUT_MS, ms + MOST_PUT_MS].some((near) => {
    const there = offsetMinutes(near, timezone);
    return there !== at && offsetMinutes(ms + (at - there) * 60_000, timezone) === there;
  });
  if (!comesAgain) return '';
  const parts = format(style, 'zone', { timeZoneName: 'short' }).formatToParts(ms);
  return ` ${parts.find(({ type }) => type === 'timeZoneName')?.value ?? ''}`;
}

/** From here on a day and month could be taken for this year's. Source: own choice, about half a year. */
const FAR_MS = 180 * 86_400_000;

/** "Wed 11 Mar"; with its year when `now` is given and the day is half a year away from it or more. */
export function day(ms: number, style: TimeStyle, now: number | null = null): string {
  const near = format(style, 'day', { weekday: 'short', day: 'numeric', month: 'short' }).format(ms).replace(',', '');
  if (now === null || Math.abs(ms - now) < FAR_MS) return near;
  return `${near} ${yearOf(ms, style)}`;
}

/** "2026", the year that the plant's calendar shows. */
export function yearOf(ms: number, style: TimeStyle): string {
  return format(style, 'year', { year: 'numeric' }).format(ms);
}

/** "11 Mar"; "Mar 2025" where it is half a year or more away from `now`. */
export function dayOrMonth(ms: number, now: number, style: TimeStyle): string {
  if (Math.abs(ms - now) < FAR_MS) return dayOfMonth(ms, style);
  return format(style, 'month and year', { month: 'short', year: 'numeric' }).format(ms);
}

/** "11 Mar", or "Mar 11" where the plant has US units. */
export function dayOfMonth(ms: number, style: TimeStyle): string {
  return format(style, 'day of month', { day: 'numeric', month: 'short' }).format(ms);
}

/** "Wednesday 11 March 2026, 14:32". */
export function dayAndClock(ms: number, style: TimeStyle): string {
  const date = format(style, 'date', { weekday: 'long', day: 'numeric', month: 'long', year: 'numeric' }).format(ms);
  return `${date}, ${clock(ms, style)}`;
}

/** Instants in a sentence of the service (ISO 8601, UTC) as the plant's clock shows them: "Wed 11 Mar 2026, 14:32". */
export function withLocalTimes(sentence: string, style: TimeStyle): string {
  return sentence.replace(/\b\d{4}-\d\d-\d\dT\d\d:\d\d(?::\d\d(?:\.\d+)?)?Z/g, (text) => {
    const ms = Date.parse(text);
    return `${day(ms, style, Number.POSITIVE_INFINITY)}, ${clock(ms, style)}`;
  });
}

/** Since when, seen from `now`: "14:02" on the same day, "Mon 9 Mar" before that, "Mon 9 Mar 2025" long before that. */
export function since(ms: number, now: number, style: TimeStyle): string {
  return day(ms, style) === day(now, style) && now - ms < 86_400_000 ? clock(ms, style) : day(ms, style, now);
}

/** Minutes by which the zone's clock is ahead of UTC at an instant. */
export function offsetMinutes(ms: number, timezone: string): number {
  const parts = format({ timezone, units: 'metric' }, 'parts', {
    hourCycle: 'h23',
    year: 'numeric',
    month: '2-digit',
    day: '2-digit',
    hour: '2-digit',
    minute: '2-digit',
  }).formatToParts(ms);
  const part = (type: string): number => Number(parts.find((found) => found.type === type)?.value);
  const local = Date.UTC(part('year'), part('month') - 1, part('day'), part('hour'), part('minute'));
  return Math.round((local - Math.floor(ms / 60_000) * 60_000) / 60_000);
}

/** An instant as a Date whose own local fields (`getHours()` …) are those that the plant's clock showed, whatever the viewer's zone. */
export function zonedDate(ms: number, timezone: string): Date {
  const at = new Date(ms + offsetMinutes(ms, timezone) * 60_000);
  const [year, month, date] = [at.getUTCFullYear(), at.getUTCMonth(), at.getUTCDate()];
  return new Date(year, month, date, at.getUTCHours(), at.getUTCMinutes(), at.getUTCSeconds(), at.getUTCMilliseconds());
}
