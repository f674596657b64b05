import { counted } from '../../../collector/contract/counted.ts';
import { whole as grouped } from '../words/figures.ts';

const UNITS = ['B', 'kB', 'MB', 'GB', 'TB'];

/** Bytes in decimal units, as disks are sold: "1.5 GB". */
export function bytes(value: number): string {
  let rest = Math.abs(value);
  let unit = 0;
  while (rest >= 999.5 && unit < UNITS.length - 1) {
    rest /= 1000;
    unit++;
  }
  const digits = rest >= 9.95 || unit === 0 ? 0 : 1;
  return `${value < 0 ? '−' : ''}${rest.toFixed(digits)} ${UNITS[unit]}`;
}

/** "12 days", "less than a day". */
export function days(value: number): string {
  if (value < 1) return 'less than a day';
  const whole = Math.floor(value);
  return counted(grouped(whole), 'day');
}

/** Growth of the store in words; null where it is not known. */
export function growthWords(perDay: number | null): string {
  if (perDay === null) return 'known after four hours';
  return Math.abs(perDay) < 1000 ? 'none' : `${bytes(perDay)} a day`;
}

/** "2 h 5 min ahead" for a clock; seconds ahead, negative: behind. */
export function clockWords(seconds: number): string {
  const rest = Math.abs(seconds);
  const side = seconds > 0 ? 'ahead' : 'behind';
  if (rest < 60) return `${rest} s ${side}`;
  const minutes = Math.round(rest / 60);
  if (minutes < 60) return `${minutes} min ${side}`;
  const hours = Math.floor(minutes / 60);
  if (hours < 48) return minutes % 60 === 0 ? `${hours} h ${side}` : `${hours} h ${minutes % 60} min ${side}`;
  const many = Math.round(hours / 24);
  return many < 730 ? `${many} days ${side}` : `${Math.round(many / 365.25)} years ${side}`;
}
