import { Temporal } from 'temporal-polyfill';

/** Quiet hours of a day, local times HH:MM; no quiet hours where either is empty. They may go past midnight. */
export interface Quiet {
  readonly from: string;
  readonly to: string;
}

const zoned = (now: number, timezone: string): Temporal.ZonedDateTime =>
  Temporal.Instant.fromEpochMilliseconds(Math.floor(now)).toZonedDateTimeISO(timezone);

/** A time that daylight saving skips comes as much later, one that comes twice is the first. Source: RFC 5545 section 3.3.5. */
const at = (date: Temporal.PlainDate, clock: string, timezone: string): number =>
  date.toZonedDateTime({ timeZone: timezone, plainTime: Temporal.PlainTime.from(clock) }).epochMilliseconds;

/**
 * When something may be told: now, or at the end of the quiet hours.
 *
 * @param now epoch ms
 * @example
 * afterQuiet({ from: '22:00', to: '06:00' }, 'Europe/Vienna', Date.UTC(2026, 0, 7, 22)); // 1767848400000
 */
export function afterQuiet({ from, to }: Quiet, timezone: string, now: number): number {
  if (from === '' || to === '' || from === to) return now;
  const date = zoned(now, timezone).toPlainDate();
  // Begun yesterday or today; where they go past midnight they end a day later.
  for (const begun of [date.subtract({ days: 1 }), date]) {
    const end = at(to <= from ? begun.add({ days: 1 }) : begun, to, timezone);
    if (now >= at(begun, from, timezone) && now < end) return end;
  }
  return now;
}

/**
 * The newest local time of day that has passed: when, and on which date.
 *
 * @param clock HH:MM
 */
export function lastAt(clock: string, timezone: string, now: number): { readonly time: number; readonly date: string } {
  const today = zoned(now, timezone).toPlainDate();
  const time = at(today, clock, timezone);
  if (time <= now) return { time, date: today.toString() };
  const yesterday = today.subtract({ days: 1 });
  return { time: at(yesterday, clock, timezone), date: yesterday.toString() };
}

/** A time as the plant's clock shows it: "2026-03-09 14:25". */
export function localText(time: number, timezone: string): string {
  return zoned(time, timezone).toPlainDateTime().toString({ smallestUnit: 'minute' }).replace('T', ' ');
}
