import { Temporal } from 'temporal-polyfill';
import { expect, test } from 'vitest';
import { usualColourChanges } from '../../../analyzer/upkeep/usual-colour-changes.ts';

const ZONE = 'Europe/Vienna';
const at = (date: string, clock: string): number =>
  Temporal.ZonedDateTime.from(`${date}T${clock}[${ZONE}]`).epochMilliseconds;
// Four weeks across the change to summer time on 29 March 2026, Monday to Friday.
const DAYS = Array.from({ length: 28 }, (_, day) => Temporal.PlainDate.from('2026-03-09').add({ days: day }))
  .filter(({ dayOfWeek }) => dayOfWeek <= 5)
  .map(String);
const worked = DAYS.map((date) => at(date, '08:00'));
const weekday = (date: string): number => Temporal.PlainDate.from(date).dayOfWeek;

test('a change at about the same hour of the plant’s clock is a habit, across daylight saving', () => {
  const changes = DAYS.flatMap((date, index) => {
    const clock = `10:${String(index % 20).padStart(2, '0')}`;
    // Three guns of a booth, one after the other: one change.
    return [0, 6, 12].map((minutes) => at(date, clock) + minutes * 60_000);
  });
  expect(usualColourChanges(changes, worked, ZONE)).toEqual([{ days: [1, 2, 3, 4, 5], at: '10:10' }]);
});

test('only the weekdays on which it comes count, and two habits of a day are two', () => {
  const changes = [
    ...DAYS.filter((date) => [1, 3].includes(weekday(date))).map((date) => at(date, '06:30')),
    ...DAYS.filter((date) => weekday(date) === 5).map((date) => at(date, '13:15')),
  ];
  expect(usualColourChanges(changes, worked, ZONE)).toEqual([
    { days: [1, 3], at: '06:30' },
    { days: [5], at: '13:15' },
  ]);
});

test('changes at any hour are no habit, and nothing comes of none', () => {
  const changes = DAYS.map((date, index) => at(date, `${String(6 + ((index * 5) % 9)).padStart(2, '0')}:00`));
  expect(usualColourChanges(changes, worked, ZONE)).toEqual([]);
  expect(usualColourChanges([], [], ZONE)).toEqual([]);
});
