import { bareClock, day, dayOrMonth, type TimeStyle } from '../words/site-time.ts';

/**
 * What a silent gun's row says: "silent since 14:02" on the same day, "silent since 9 Mar" before that, "silent since Mar 2025" long before that. Without the
 * weekday, which the row has no room for at the height that must be read from afar.
 */
export function silentSince(ms: number, now: number, style: TimeStyle): string {
  const today = day(ms, style) === day(now, style) && now - ms < 86_400_000;
  return `silent since ${today ? bareClock(ms, style) : dayOrMonth(ms, now, style)}`;
}
