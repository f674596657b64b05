import { clock, dayOfMonth, secondsClock, type TimeStyle, yearOf } from '../words/site-time.ts';

const MINUTE_MS = 60_000;
const DAY_MS = 86_400_000;
/** Half of what a letter of the axis takes, px. Source: measured in the bundled typeface at the axis's size. */
const HALF_LETTER_PX = 2.8;

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

/**
 * The same without a last mark that would be cut off at the right: it stands in the middle below its place.
 *
 * @param roomPx from the last mark to the end of the picture, px
 */
export function withoutCutLast(labels: readonly string[], roomPx: number): string[] {
  const last = labels.at(-1)?.split('\n')[0] ?? '';
  return last.length * HALF_LETTER_PX <= roomPx ? [...labels] : [...labels.slice(0, -1), ''];
}
