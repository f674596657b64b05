/** Returned in place of a time: the text is no time at all, or carries no offset from UTC. */
export const UNREADABLE = Number.NaN;
export const NO_OFFSET = Number.NEGATIVE_INFINITY;

/** 2000-01-01T00:00:00Z: no reading is older. Source: own choice, because an older time is a clock that was never set. */
export const EARLIEST_MS = 946_684_800_000;
/** 9999-12-31T23:59:59.999Z, the last instant with a four-digit year. */
export const LATEST_MS = 253_402_300_799_999;

const DAY_MS = 86_400_000;

/** Days in a month; 0 for a month that does not exist. */
export function daysInMonth(year: number, month: number): number {
  if (month === 2) return (year % 4 === 0 && year % 100 !== 0) || year % 400 === 0 ? 29 : 28;
  if (month < 1 || month > 12) return 0;
  return month === 4 || month === 6 || month === 9 || month === 11 ? 30 : 31;
}

const EXTENDED =
  /^(\d{4})-(\d{2})-(\d{2})[Tt ](\d{2}):(\d{2})(?::(\d{2})(?:[.,](\d{1,12}))?)?([Zz]|[+-]\d{2}(?::?\d{2})?)?$/;
const BASIC = /^(\d{4})(\d{2})(\d{2})[Tt](\d{2})(\d{2})(?:(\d{2})(?:[.,](\d{1,12}))?)?([Zz]|[+-]\d{2}(?::?\d{2})?)?$/;
const DATE_ONLY = /^\d{4}-\d{2}-\d{2}$/;
const UNIX_SECONDS = /^[+-]?(\d{1,15}(\.\d*)?|\.\d+)([eE][+-]?\d{1,2})?$/;

const offsetMinutes = (text: string): number => {
  if (text === 'Z' || text === 'z') return 0;
  const digits = text.slice(1).replace(':', '');
  const hours = Number(digits.slice(0, 2));
  const minutes = Number(digits.slice(2) || '0');
  if (hours > 23 || minutes > 59) return UNREADABLE;
  return (text[0] === '-' ? -1 : 1) * (hours * 60 + minutes);
};

/**
 * An ISO 8601 date and time with offset, in its extended or basic form, as epoch ms rounded to 1 ms.
 *
 * Seconds may be left out; 24:00 ends a day; 60 is read where a leap second can be (the end of a day in UTC).
 *
 * @returns epoch ms; `NO_OFFSET` when the offset is missing; `UNREADABLE` for anything else
 * @example
 * parseIsoTime('2026-03-02T09:10:00+01:00'); // 1772439000000
 */
export function parseIsoTime(text: string): number {
  const match = EXTENDED.exec(text) ?? BASIC.exec(text);
  if (match === null) return DATE_ONLY.test(text) ? NO_OFFSET : UNREADABLE;
  const [, yearText, monthText, dayText, hourText, minuteText, secondText = '0', fraction = '', zone] = match;
  const [year, month, day] = [Number(yearText), Number(monthText), Number(dayText)];
  const [hour, minute, second] = [Number(hourText), Number(minuteText), Number(secondText)];
  if (day < 1 || day > daysInMonth(year, month) || minute > 59 || second > 60 || hour > 24) return UNREADABLE;
  const fractionMs = fraction === '' ? 0 : Math.round(Number(`0.${fraction}`) * 1000);
  if (hour === 24 && (minute > 0 || second > 0 || fractionMs > 0)) return UNREADABLE;
  if (zone === undefined) return NO_OFFSET;
  const offset = offsetMinutes(zone);
  const clock = Date.UTC(year, month - 1, day, hour, minute - offset, second);
  if (Number.isNaN(offset) || (second === 60 && clock % DAY_MS !== 0)) return UNREADABLE;
  return clock + fractionMs;
}

/**
 * A time as the contract's files carry it: ISO 8601 with offset, or Unix seconds with decimals.
 *
 * @returns epoch ms rounded to 1 ms; `NO_OFFSET` or `UNREADABLE`; also `UNREADABLE` past the year 9999
 *   (milliseconds given as seconds)
 * @example
 * parseTime('1758513001.5'); // 1758513001500
 */
export function parseTime(text: string): number {
  const trimmed = text.trim();
  if (!UNIX_SECONDS.test(trimmed)) return parseIsoTime(trimmed);
  const ms = Math.round(Number(trimmed) * 1000);
  return Math.abs(ms) <= LATEST_MS ? ms : UNREADABLE;
}

/**
 * A time as it leaves the program: ISO 8601 in UTC with milliseconds.
 *
 * @param ms epoch ms within the years 0 to 9999
 * @throws {RangeError} if `ms` is no such time
 * @example
 * formatTime(1772439000000); // '2026-03-02T08:10:00.000Z'
 */
export function formatTime(ms: number): string {
  return new Date(ms).toISOString();
}
