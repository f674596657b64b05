import type { Plant } from '../contract/index.ts';
import { compileDateFormat, readLoggerTime } from './date-format.ts';
import type { ImportMapping } from './import-mapping.ts';

type Time = ImportMapping['time'];

const TIME_WORD = /time|date|zeit|datum|timestamp|stamp/i;
/** A cell of rubbish among the times must not hide their form. Source: own choice. */
const MOST_OF = 0.7;
/** Days of a spreadsheet from 2000 to 2100. */
const SERIAL_DATE = /^(3[6-9]|[4-6]\d|7[0-3])\d{3}[.,]\d+$/;
const CLOCK_WORD = /^(time|clock|zeit|uhrzeit|time of day)$/i;
const DATES = [
  'dd.MM.yyyy',
  'd.M.yyyy',
  'dd.MM.yy',
  'yyyy-MM-dd',
  'yyyy/MM/dd',
  'dd/MM/yyyy',
  'MM/dd/yyyy',
  'M/d/yyyy',
];
const CLOCKS = ['HH:mm:ss', 'HH:mm:ss.SSS', 'HH:mm', 'H:mm:ss', 'hh:mm:ss a', 'h:mm:ss a', 'h:mm a'];

/**
 * Guesses which column holds the time, and how it is written, from headings and some rows.
 *
 * @returns null when no column of times is found
 */
export function offerTime(
  headings: readonly string[],
  samples: readonly (readonly string[])[],
  plant: Plant,
): Time | null {
  const named = headings.findIndex((heading) => TIME_WORD.test(heading));
  const place = Math.max(named, 0);
  const column = headings[place];
  if (column === undefined) return null;
  const values = (at: number): string[] => samples.map((row) => (row[at] ?? '').trim()).filter((cell) => cell !== '');
  const alone = formOf(values(place), plant);
  if (alone !== null) return { column, ...alone };
  const clockAt = headings.findIndex((heading, at) => at !== place && CLOCK_WORD.test(heading.trim()));
  if (clockAt >= 0) {
    const joined = samples.map((row) => `${(row[place] ?? '').trim()} ${(row[clockAt] ?? '').trim()}`);
    const both = formOf(joined, plant);
    if (both !== null) return { column, clock: headings[clockAt]!, ...both };
  }
  return named >= 0 ? { column } : null;
}

/** How these times are written; null when no form fits all of them. */
function formOf(values: readonly string[], { site }: Plant): Omit<Time, 'column'> | null {
  if (values.length === 0) return null;
  const { timezone: zone } = site;
  const all = (format: string | null, in_: string | null = null, as: Time['as'] | null = null): boolean => {
    const compiled = format === null ? null : compileDateFormat(format);
    if (typeof compiled === 'string') return false;
    const read = (text: string): number => readLoggerTime(text, { format: compiled, zone: in_, as }, -Infinity).ms;
    return values.filter((text) => read(text) >= 0).length > MOST_OF * values.length;
  };
  if (values.every((text) => /^\d{13}$/.test(text))) return { as: 'unix-ms' };
  // With a time of day; whole numbers of five digits may count anything.
  if (values.filter((text) => SERIAL_DATE.test(text)).length > MOST_OF * values.length)
    return { as: 'sheet-days', zone };
  if (all(null)) return {};
  if (all(null, zone)) return { zone };
  // 03/04 is a day and a month in either order: the site's units tell which is usual there, and so does a clock of twice twelve hours.
  const isUs = site.units === 'us' || values.some((text) => /\d ?[ap]m$/i.test(text));
  const dates = isUs ? [...DATES].sort((a, b) => Number(/^M/.test(b)) - Number(/^M/.test(a))) : DATES;
  for (const date of dates)
    for (const clock of CLOCKS)
      for (const between of [' ', "'T'"]) {
        const format = `${date}${between}${clock}`;
        if (all(format, zone)) return { format, zone };
      }
  return null;
}
