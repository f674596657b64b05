import { daysInMonth, NO_OFFSET, parseIsoTime, parseTime } from '../contract/index.ts';
import { type LocalInstant, localInstant } from '../decode/mapped/local-time.ts';

/** Letters of a pattern, as Unicode TR 35 (date field symbols) gives them, with what each may read. */
const FIELDS: Readonly<Record<string, string>> = {
  yyyy: '\\d{4}',
  yy: '\\d{2}',
  MM: '\\d{2}',
  M: '\\d{1,2}',
  dd: '\\d{2}',
  d: '\\d{1,2}',
  HH: '\\d{2}',
  H: '\\d{1,2}',
  hh: '\\d{2}',
  h: '\\d{1,2}',
  mm: '\\d{2}',
  m: '\\d{1,2}',
  ss: '\\d{2}',
  s: '\\d{1,2}',
  S: '\\d{1,9}',
  SSS: '\\d{3}',
  a: '[AaPp][Mm]',
  XXX: 'Z|[+-]\\d{2}:\\d{2}',
};
const PART = /([A-Za-z])\1*|'[^']*'|[^A-Za-z']+/g;

export interface DateFormat {
  readonly pattern: RegExp;
  readonly fields: readonly string[];
}

/** A pattern such as `dd.MM.yyyy HH:mm:ss`; null with what is wrong, in words. */
export function compileDateFormat(text: string): DateFormat | string {
  const fields: string[] = [];
  let pattern = '';
  for (const [part] of text.matchAll(PART)) {
    if (!/^[A-Za-z]/.test(part)) pattern += literal(part.replace(/^'(.*)'$/, '$1'));
    else if (Object.hasOwn(FIELDS, part)) {
      if (fields.some((field) => field[0] === part[0])) return `"${part}" twice`;
      fields.push(part);
      pattern += `(${FIELDS[part]})`;
    } else return `"${part}", which means nothing here`;
  }
  for (const wanted of 'yMdm') if (!fields.some((field) => field[0] === wanted)) return `no "${wanted}"`;
  const hours = fields.filter((field) => field[0] === 'H' || field[0] === 'h').length;
  if (hours !== 1) return hours === 0 ? 'no hour' : 'two hours';
  if (fields.some((field) => field[0] === 'h') !== fields.includes('a')) return 'h without a, or a without h';
  return { pattern: new RegExp(`^${pattern}$`), fields };
}

const literal = (text: string): string => text.replace(/[.*+?^${}()|[\]\\]/g, '\\$&');

/** Numbers that tell a time: seconds and milliseconds since 1970, and a spreadsheet's days by the wall clock. */
export const NUMBERED_TIMES = ['unix-s', 'unix-ms', 'sheet-days'] as const;

export interface TimeRules {
  readonly format: DateFormat | null;
  readonly zone: string | null;
  /** Null: ISO 8601, or Unix seconds. */
  readonly as: (typeof NUMBERED_TIMES)[number] | null;
}

/**
 * A logger's time; its ms are NaN when it cannot be read, `NO_OFFSET` when it lacks an offset and no zone is known.
 *
 * @param notBefore time of the row before, for the hour that comes twice in autumn
 */
export function readLoggerTime(text: string, { format, zone, as }: TimeRules, notBefore: number): LocalInstant {
  if (format === null) {
    if (as === 'sheet-days') return sheetTime(text, zone, notBefore);
    if (as === 'unix-ms') return once(/^\d{1,15}(\.\d+)?$/.test(text) ? Math.round(Number(text)) : Number.NaN);
    const ms = parseTime(text);
    return ms === NO_OFFSET && zone !== null ? localInstant(text, zone, notBefore) : once(ms);
  }
  const match = format.pattern.exec(text);
  if (match === null) return once(Number.NaN);
  const of = (letter: string): string => {
    const place = format.fields.findIndex((field) => field[0] === letter);
    return place < 0 ? '' : match[place + 1]!;
  };
  const year = of('y').length === 2 ? 2000 + Number(of('y')) : Number(of('y'));
  const [month, day] = [Number(of('M')), Number(of('d'))];
  if (day > daysInMonth(year, month)) return once(Number.NaN);
  const twelve = of('h');
  if (twelve !== '' && (Number(twelve) < 1 || Number(twelve) > 12)) return once(Number.NaN);
  const hour = twelve === '' ? Number(of('H')) : (Number(twelve) % 12) + (/p/i.test(of('a')) ? 12 : 0);
  const two = (value: number | string): string => String(value).padStart(2, '0');
  const date = `${year}-${two(month)}-${two(day)}T${two(hour)}:${two(of('m'))}:${two(of('s') || 0)}`;
  const iso = of('S') === '' ? date : `${date}.${of('S')}`;
  const offset = of('X');
  if (offset !== '') return once(parseIsoTime(iso + offset));
  return zone === null ? once(NO_OFFSET) : localInstant(iso, zone, notBefore);
}

const once = (ms: number): LocalInstant => ({ ms, shown: 'once' });

/** Day 0 of serial dates from March 1900 on. Source: ECMA-376-1, 18.17.4.1, 1900 date base, which counts a 29 February 1900 that never was. */
const DAY_ZERO_MS = Date.UTC(1899, 11, 30);

function sheetTime(text: string, zone: string | null, notBefore: number): LocalInstant {
  if (!/^\d{1,6}([.,]\d{1,15})?$/.test(text)) return once(Number.NaN);
  if (zone === null) return once(NO_OFFSET);
  const wall = new Date(DAY_ZERO_MS + Math.round(Number(text.replace(',', '.')) * 86_400_000));
  return localInstant(wall.toISOString().slice(0, -1), zone, notBefore);
}
