import { Temporal } from 'temporal-polyfill';
import type { ShiftCalendar } from './shift-calendar.ts';

/** How far back changes tell what is usual, ms. Source: own choice: four weeks show each weekday four times and forget an old habit. */
export const USUAL_SPAN_MS = 28 * 86_400_000;
/** Changes of several guns so near together are one, ms. Source: own choice, because the guns of a booth follow each other within it. */
const TOGETHER_MS = 30 * 60_000;
/** Changes so near in the day belong to one habit, either way, min. Source: own choice. */
const NEAR_MINUTES = 45;
/** A habit is what comes on at least half of a weekday's worked days, and three times in all. Source: own choice. */
const SHARE = 0.5;
const FEWEST = 3;

/**
 * When powders are usually changed, as the spray runs show it: for a shop whose calendar does not say.
 *
 * @param changes epoch ms of runs whose powder differs from that of the gun's run before
 * @param worked epoch ms of runs, any of each day that was worked
 * @returns weekly times of day in the plant's time; none where no habit shows
 */
export function usualColourChanges(
  changes: readonly number[],
  worked: readonly number[],
  timezone: string,
): ShiftCalendar['colourChanges'] {
  const local = (ms: number): Temporal.ZonedDateTime =>
    Temporal.Instant.fromEpochMilliseconds(ms).toZonedDateTimeISO(timezone);
  const dates = new Set(worked.map((ms) => local(ms).toPlainDate().toString()));
  const workedOn = (weekday: number): number =>
    [...dates].filter((date) => Temporal.PlainDate.from(date).dayOfWeek === weekday).length;
  const once = [...changes]
    .sort((a, b) => a - b)
    .filter((at, index, all) => index === 0 || at - all[index - 1]! > TOGETHER_MS);
  let left = once.map((at) => {
    const { dayOfWeek, hour, minute } = local(at);
    return { day: dayOfWeek, date: local(at).toPlainDate().toString(), minutes: hour * 60 + minute };
  });
  const habits: { days: number[]; at: string }[] = [];
  while (left.length >= FEWEST) {
    const around = (centre: number) => left.filter(({ minutes }) => Math.abs(minutes - centre) <= NEAR_MINUTES);
    const best = left
      .map(({ minutes }) => around(minutes))
      .reduce((one, other) => (other.length > one.length ? other : one));
    if (best.length < FEWEST) break;
    const days = [1, 2, 3, 4, 5, 6, 7].filter((day) => {
      const seen = new Set(best.filter((one) => one.day === day).map(({ date }) => date)).size;
      return seen > 0 && seen >= SHARE * workedOn(day);
    });
    const sorted = best
      .filter(({ day }) => days.includes(day))
      .map(({ minutes }) => minutes)
      .sort((a, b) => a - b);
    if (sorted.length >= FEWEST) habits.push({ days, at: clockOf(sorted[sorted.length >> 1]!) });
    left = left.filter((one) => !best.includes(one));
  }
  return habits.sort((a, b) => (a.at < b.at ? -1 : 1));
}

const clockOf = (minutes: number): string =>
  `${String(Math.floor(minutes / 60)).padStart(2, '0')}:${String(minutes % 60).padStart(2, '0')}`;
