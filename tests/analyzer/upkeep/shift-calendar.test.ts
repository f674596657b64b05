import { Temporal } from 'temporal-polyfill';
import { expect, test } from 'vitest';
import {
  daysAfter,
  daysBetween,
  ShiftCalendar,
  shiftsFrom,
  USUAL_CALENDAR,
} from '../../../analyzer/upkeep/shift-calendar.ts';
import { afterWorking, shopTime, workingMs } from '../../../analyzer/upkeep/shop-time.ts';

const VIENNA = 'Europe/Vienna';
const HOUR = 3_600_000;
const at = (text: string): number => Temporal.ZonedDateTime.from(`${text}[${VIENNA}]`).epochMilliseconds;
const calendar = (changes: Partial<ShiftCalendar>): ShiftCalendar => ({ ...USUAL_CALENDAR, ...changes });
const shop = (of: ShiftCalendar) => shopTime(of, VIENNA, at('2026-04-01T12:00'));
const NIGHT = calendar({ shifts: [{ name: 'Night', days: [6], start: '22:00', end: '06:00' }] });

// Summer time in the EU begins on the last Sunday of March and ends on that of October at 01:00 UTC: directive 2000/84/EC.
test('a night shift has 7 hours when summer time begins, 9 when it ends, 8 else', () => {
  expect(workingMs(shop(NIGHT), at('2026-03-28T12:00'), at('2026-03-29T12:00'))).toBe(7 * HOUR);
  expect(workingMs(shop(NIGHT), at('2026-10-24T12:00'), at('2026-10-25T12:00'))).toBe(9 * HOUR);
  expect(workingMs(shop(NIGHT), at('2026-04-04T12:00'), at('2026-04-05T12:00'))).toBe(8 * HOUR);
});

test('a shift begins at the same time of day in winter and in summer', () => {
  const starts = [...shiftsFrom(USUAL_CALENDAR, VIENNA, at('2026-03-27T00:00'), at('2026-03-31T00:00'))].map(
    ({ start }) => new Date(start).toISOString(),
  );
  expect(starts).toEqual(['2026-03-27T05:00:00.000Z', '2026-03-30T04:00:00.000Z']);
});

test('no shift starts on a holiday, and a planned stop cuts one short', () => {
  const stopped = calendar({
    holidays: [{ date: '2026-05-01' }],
    stops: [{ from: '2026-04-30T10:00', to: '2026-04-30T12:00', name: 'Oven service' }],
  });
  expect(workingMs(shop(stopped), at('2026-04-30T00:00'), at('2026-05-02T00:00'))).toBe(6 * HOUR);
});

test('shifts that overlap count once', () => {
  const twice = calendar({
    shifts: [
      { name: 'A', days: [1], start: '06:00', end: '14:00' },
      { name: 'B', days: [1], start: '13:00', end: '15:00' },
    ],
  });
  expect(workingMs(shop(twice), at('2026-03-02T00:00'), at('2026-03-03T00:00'))).toBe(9 * HOUR);
});

test('working time is counted over nights, weekends and holidays', () => {
  const friday = at('2026-03-06T12:00');
  expect(afterWorking(shop(USUAL_CALENDAR), friday, 3 * HOUR)).toBe(at('2026-03-09T07:00'));
  const off = calendar({ holidays: [{ date: '2026-03-09' }] });
  expect(afterWorking(shop(off), friday, 3 * HOUR)).toBe(at('2026-03-10T07:00'));
});

test('a calendar without shifts never gets there', () => {
  expect(afterWorking(shop(calendar({ shifts: [] })), at('2026-03-06T12:00'), HOUR)).toBeNull();
});

test('days go by the plant’s dates, also where one of them has 23 or 25 hours', () => {
  expect(daysBetween(at('2026-03-28T23:00'), at('2026-03-30T01:00'), VIENNA)).toBe(2);
  expect(new Date(daysAfter(at('2026-10-24T08:00'), 1, VIENNA)).toISOString()).toBe('2026-10-25T22:59:59.000Z');
});

test.each([
  { shifts: [{ name: 'A', days: [0], start: '06:00', end: '14:00' }] },
  { shifts: [{ name: 'A', days: [1], start: '6:00', end: '14:00' }] },
  { shifts: [], stops: [{ from: '2026-02-30T06:00', to: '2026-03-01T06:00', name: 'x' }] },
  { shifts: [], stops: [{ from: '2026-03-02T06:00', to: '2026-03-01T06:00', name: 'x' }] },
  { shifts: [], holidays: [{ date: '2026-13-01' }] },
])('a calendar that cannot be is refused: %j', (bad) => {
  expect(ShiftCalendar.safeParse(bad).success).toBe(false);
});
