import type { ShiftCalendar } from '../../../analyzer/index.ts';

/** A shop's calendar as people write it, one thing a line. */
export interface CalendarLines {
  readonly shifts: string;
  readonly holidays: string;
  readonly stops: string;
  readonly colourChanges: string;
}

const DAYS = ['Mo', 'Tu', 'We', 'Th', 'Fr', 'Sa', 'Su'];

/** "Mo-Fr", "Mo,We,Sa". */
export function daysInWords(days: readonly number[]): string {
  const sorted = [...days].sort((left, right) => left - right);
  const first = sorted[0] ?? 1;
  const last = sorted.at(-1) ?? 1;
  if (sorted.length > 2 && last - first === sorted.length - 1) return `${DAYS[first - 1]}-${DAYS[last - 1]}`;
  return sorted.map((day) => DAYS[day - 1]).join(',');
}

/** Days of the week, 1 Monday to 7 Sunday; null where the text says none. */
export function readDays(text: string): number[] | null {
  const days = new Set<number>();
  for (const part of text.split(',')) {
    const [first, last = first] = part.split('-').map((name) => DAYS.indexOf(name) + 1);
    if (!first || !last) return null;
    for (let day = first; ; day = (day % 7) + 1) {
      days.add(day);
      if (day === last) break;
    }
  }
  return [...days].sort((left, right) => left - right);
}

/** A calendar as lines. */
export function linesOf({ shifts, holidays, stops, colourChanges }: ShiftCalendar): CalendarLines {
  return {
    shifts: shifts.map(({ name, days, start, end }) => `${name} ${daysInWords(days)} ${start}-${end}`).join('\n'),
    holidays: holidays.map(({ date, name }) => (name === undefined ? date : `${date} ${name}`)).join('\n'),
    stops: stops.map(({ from, to, name }) => `${from} ${to} ${name}`).join('\n'),
    colourChanges: colourChanges.map(({ days, at }) => `${daysInWords(days)} ${at}`).join('\n'),
  };
}

/** Lines as a calendar, or the first line that is none, in a sentence. */
export function readLines(
  lines: CalendarLines,
): { readonly ok: true; readonly calendar: ShiftCalendar } | { readonly ok: false; readonly fault: string } {
  const calendar: ShiftCalendar = { shifts: [], holidays: [], stops: [], colourChanges: [] };
  for (const line of of(lines.shifts)) {
    const match = /^(.+) (\S+) (\d\d:\d\d)-(\d\d:\d\d)$/.exec(line);
    const days = match ? readDays(match[2]!) : null;
    if (!match || !days) return bad('shift', line, 'Day Mo-Fr 06:00-14:00');
    calendar.shifts.push({ name: match[1]!, days, start: match[3]!, end: match[4]! });
  }
  for (const line of of(lines.holidays)) {
    const match = /^(\d{4}-\d\d-\d\d)(?: (.+))?$/.exec(line);
    if (!match) return bad('holiday', line, '2026-12-25 Christmas');
    calendar.holidays.push(match[2] === undefined ? { date: match[1]! } : { date: match[1]!, name: match[2] });
  }
  for (const line of of(lines.stops)) {
    const match = /^(\S+) (\S+) (.+)$/.exec(line);
    if (!match) return bad('planned stop', line, '2026-12-24T12:00 2027-01-07T06:00 Winter stop');
    calendar.stops.push({ from: match[1]!, to: match[2]!, name: match[3]! });
  }
  for (const line of of(lines.colourChanges)) {
    const match = /^(\S+) (\d\d:\d\d)$/.exec(line);
    const days = match ? readDays(match[1]!) : null;
    if (!match || !days) return bad('colour change', line, 'Mo-Fr 10:00');
    calendar.colourChanges.push({ days, at: match[2]! });
  }
  return { ok: true, calendar };
}

const of = (text: string): string[] =>
  text
    .split('\n')
    .map((line) => line.trim())
    .filter((line) => line !== '');

const bad = (what: string, line: string, example: string): { ok: false; fault: string } => ({
  ok: false,
  fault: `“${line}” is no ${what}; expected for example “${example}”.`,
});
