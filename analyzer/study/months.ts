import { Temporal } from 'temporal-polyfill';
import type { Span } from './study.ts';

/**
 * Calendar months of a time zone that a span touches, each cut to the span.
 *
 * @param span epoch ms
 * @param timezone IANA name
 * @returns ascending; none for an empty span
 */
export function monthsOf({ from, to }: Span, timezone: string): Span[] {
  const months: Span[] = [];
  let start = from;
  while (start < to) {
    const here = Temporal.Instant.fromEpochMilliseconds(start).toZonedDateTimeISO(timezone);
    const next = here.with({ day: 1 }).startOfDay().add({ months: 1 }).epochMilliseconds;
    months.push({ from: start, to: Math.min(next, to) });
    start = next;
  }
  return months;
}
