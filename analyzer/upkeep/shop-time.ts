import { type ShiftCalendar, type Span, shiftsFrom } from './shift-calendar.ts';
import { type Stop, stopsFrom } from './stops.ts';

/** Working time and stops of a shop around a day, worked out once: calendars are slow, and every part of every gun asks. */
export interface ShopTime {
  /** Times in which any shift works, ascending, none of them overlapping, epoch ms. */
  readonly spans: readonly Pick<Span, 'start' | 'end'>[];
  /** Ascending. */
  readonly stops: readonly Stop[];
}

/** Source: own choice: the past for paces of a year's work, the future for the longest interval that goes by hours. */
const BACK_MS = 400 * 86_400_000;
const AHEAD_MS = 400 * 86_400_000;

/**
 * The shop's time around `now`.
 *
 * @param now epoch ms; good for some days after it
 * @param observed colour changes that the runs show, for a calendar that names none
 */
export function shopTime(
  calendar: ShiftCalendar,
  timezone: string,
  now: number,
  observed: ShiftCalendar['colourChanges'] = [],
): ShopTime {
  const spans: { start: number; end: number }[] = [];
  for (const { start, end } of shiftsFrom(calendar, timezone, now - BACK_MS, now + AHEAD_MS)) {
    const last = spans.at(-1);
    if (last !== undefined && start <= last.end) last.end = Math.max(last.end, end);
    else spans.push({ start, end });
  }
  return { spans, stops: stopsFrom(calendar, timezone, now, observed) };
}

/** Working time in [from, to), ms. */
export function workingMs({ spans }: ShopTime, from: number, to: number): number {
  let worked = 0;
  for (let i = firstAfter(spans, from); i < spans.length; i++) {
    const { start, end } = spans[i]!;
    if (start >= to) break;
    worked += Math.min(end, to) - Math.max(start, from);
  }
  return worked;
}

/** When `ms` of working time from `from` on have passed, epoch ms; null where the calendar does not reach that far. */
export function afterWorking({ spans }: ShopTime, from: number, ms: number): number | null {
  let left = Math.max(0, ms);
  for (let i = firstAfter(spans, from); i < spans.length; i++) {
    const { start, end } = spans[i]!;
    const begin = Math.max(start, from);
    if (end - begin >= left) return Math.round(begin + left);
    left -= end - begin;
  }
  return null;
}

/** Index of the first span that ends after `time`. */
function firstAfter(spans: ShopTime['spans'], time: number): number {
  let low = 0;
  let high = spans.length;
  while (low < high) {
    const middle = (low + high) >> 1;
    if (spans[middle]!.end <= time) low = middle + 1;
    else high = middle;
  }
  return low;
}
