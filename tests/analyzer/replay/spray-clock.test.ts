import { expect, it } from 'vitest';
import { sprayClock, sprayHoursBetween } from '../../../analyzer/replay/spray-clock.ts';
import { RUN_FIELDS, type RunField, type RunTable } from '../../../collector/contract/index.ts';

const HOUR = 3_600_000;

/** Runs that end at the given hours, each with a quarter of an hour of spraying. */
function runs(endHours: readonly number[]): RunTable {
  const columns = Object.fromEntries(RUN_FIELDS.map((field) => [field, new Float64Array(endHours.length)])) as Record<
    RunField,
    Float64Array
  >;
  for (const [row, hour] of endHours.entries()) {
    columns.end[row] = hour * HOUR;
    columns.sprayMs[row] = HOUR / 4;
  }
  return { gun: 'gun-01', length: endHours.length, columns, powders: [] };
}

it('counts the runs that ended after one time and by another', () => {
  const clock = sprayClock(runs([1, 2, 3, 10]));
  expect(sprayHoursBetween(clock, 0, 100 * HOUR)).toBe(1);
  expect(sprayHoursBetween(clock, 1 * HOUR, 3 * HOUR)).toBe(0.5);
  expect(sprayHoursBetween(clock, 4 * HOUR, 9 * HOUR)).toBe(0);
  expect(sprayHoursBetween(clock, 9 * HOUR, 2 * HOUR)).toBe(0);
});

it('stands still for a gun without runs', () => {
  expect(sprayHoursBetween(sprayClock(runs([])), 0, HOUR)).toBe(0);
});
