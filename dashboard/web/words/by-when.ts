import { counted } from '../../../collector/contract/counted.ts';
import type { Category } from '../../../collector/contract/finding.ts';

const NBSP = '\u00a0';

/**
 * By when a job has to be done, in shifts: "this shift", "1 shift", "3 shifts" (whole shifts that are left).
 * Where it is no matter of wear: "at once" for a failure, else "next stop", the habit of the trade.
 */
export function byShifts(shifts: number | null, category: Category): string {
  if (shifts === null) return category === 'failure' ? 'at once' : 'next stop';
  const whole = Math.floor(shifts);
  if (whole < 1) return 'this shift';
  return `${whole}${NBSP}${whole === 1 ? 'shift' : 'shifts'}`;
}

export interface SprayHours {
  readonly p10: number;
  readonly p50: number;
  readonly p90: number;
}

const whole = (hours: number): string => (hours < 1 ? '<1' : String(Math.round(hours)));

/** Spray hours left as their 80 % interval, "22–61 h"; the middle alone, "~180 h", where three digits or little room make it too long. */
export function sprayHours({ p10, p50, p90 }: SprayHours, brief = false): string {
  if (brief || p90 >= 99.5) return `${p50 < 1 ? '' : '~'}${whole(p50)}${NBSP}h`;
  const low = whole(p10);
  const high = whole(p90);
  return low === high ? `${low}${NBSP}h` : `${p10 < 1 ? '0' : low}–${high}${NBSP}h`;
}

/** The same in a sentence: "about 37 spray hours (80 % interval: 22 to 61)". */
export function sprayHoursInFull({ p10, p50, p90 }: SprayHours): string {
  const middle = p50 < 1 ? 'less than 1 spray hour' : `about ${counted(whole(p50), 'spray hour')}`;
  return `${middle} (80 % interval: ${p10 < 1 ? '0' : whole(p10)} to ${whole(Math.max(1, p90))})`;
}
