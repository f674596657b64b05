import { type ShiftCalendar, shiftsFrom } from '../../analyzer/index.ts';

const DAY_MS = 86_400_000;
/** How far back a shift is looked for. Source: own choice, no shop-wide holiday is longer than six weeks. */
const BACK_MS = 42 * DAY_MS;
/** A shift of a shop that has none on its calendar. Source: handbook of the trade, a shift of 8 h. */
const USUAL_SHIFT_MS = 8 * 3_600_000;

/**
 * The shift that a time lies in; where it lies in none, the last one before it.
 *
 * @param time epoch ms
 */
export function shiftAt(calendar: ShiftCalendar, timezone: string, time: number): { from: number; to: number } {
  let found: { from: number; to: number } | null = null;
  for (const { start, end } of shiftsFrom(calendar, timezone, time - BACK_MS, time + 1))
    if (start <= time && (found === null || start >= found.from)) found = { from: start, to: end };
  return found ?? { from: time - USUAL_SHIFT_MS, to: time };
}
