import { clock, dayOfMonth, secondsClock, type TimeStyle, yearOf } from '../words/site-time.ts';

const MINUTE_MS = 60_000;
const DAY_MS = 86_400_000;

/**
 * Marks of a time axis: days where marks are days apart, with the year below the first one and wherever another year begins; else the
 * clock, with the day at midnight; seconds where they tell marks apart.
 *
 * @param ticks epoch ms, ascending
 * @param stepMs distance of the marks, ms
 */
export function tickLabels(ticks: readonly number[], stepMs: number, style: TimeStyle): string[] {
  return ticks.map((ms, index) => {
    if (stepMs < MINUTE_MS) return secondsClock(ms, style);
    const time = clock(ms, style);
    if (stepMs < DAY_MS) return /^(00:00|12:00 AM)/.test(time) ? dayOfMonth(ms, style) : time;
    const year = yearOf(ms, style);
    const before = index === 0 ? null : yearOf(ticks[index - 1]!, style);
    return year === before ? dayOfMonth(ms, style) : `${dayOfMonth(ms, style)}\n${year}`;
  });
}
