import fc from 'fast-check';
import { Temporal } from 'temporal-polyfill';
import { expect, test } from 'vitest';
import {
  bareField,
  fromLocalField,
  instantsOf,
  localFieldValue,
  retyped,
} from '../../../dashboard/web/words/local-field.ts';

const NOON = Date.UTC(2026, 2, 11, 13, 32);

test.each(['Europe/Vienna', 'America/Detroit', 'Asia/Kolkata', 'Pacific/Chatham', 'UTC'])(
  'a field’s date and time in %s is the instant that Temporal says, daylight saving included',
  (timezone) => {
    const minutes = fc.integer({ min: Date.UTC(2024, 0) / 60_000, max: Date.UTC(2028, 0) / 60_000 });
    fc.assert(
      fc.property(minutes, (minute) => {
        const text = new Date(minute * 60_000).toISOString().slice(0, 16);
        const expected = Temporal.PlainDateTime.from(text).toZonedDateTime(timezone, { disambiguation: 'compatible' });
        expect(fromLocalField(text, timezone)).toBe(expected.epochMilliseconds);
      }),
      { numRuns: 300 },
    );
  },
);

test('around each change of the clocks every quarter of an hour agrees with Temporal', () => {
  for (const start of ['2026-03-29T00:00', '2026-10-25T00:00'])
    for (let quarter = 0; quarter < 20; quarter += 1) {
      const text = Temporal.PlainDateTime.from(start)
        .add({ minutes: 15 * quarter })
        .toString({ smallestUnit: 'minute' });
      const expected = Temporal.PlainDateTime.from(text).toZonedDateTime('Europe/Vienna').epochMilliseconds;
      expect(fromLocalField(text, 'Europe/Vienna'), text).toBe(expected);
    }
});

test('an instant and the field that shows it are one and the same', () => {
  expect(localFieldValue(NOON, 'Europe/Vienna')).toBe('2026-03-11T14:32');
  expect(fromLocalField('2026-03-11T14:32', 'Europe/Vienna')).toBe(NOON);
});

test.each(['', '2026-03-11', 'yesterday', '2026-13-01T00:00'])('"%s" is no date and time', (text) => {
  expect(fromLocalField(text, 'UTC')).toBeNull();
});

test.each(['Europe/Vienna', 'America/Detroit', 'Australia/Lord_Howe', 'UTC'])(
  'every minute in %s has a field of its own, also where the clock shows it twice',
  (timezone) => {
    const near = ['2026-10-25T00:30Z', '2026-11-01T06:00Z', '2026-04-04T15:00Z', '2026-03-29T01:00Z'].map(Date.parse);
    const minutes = fc.tuple(fc.constantFrom(...near), fc.integer({ min: -180, max: 180 }));
    fc.assert(
      fc.property(minutes, ([start, minute]) => {
        const ms = start + minute * 60_000;
        expect(fromLocalField(localFieldValue(ms, timezone), timezone)).toBe(ms);
        expect(fromLocalField(localFieldValue(ms + 5000, timezone, true), timezone)).toBe(ms + 5000);
        expect(instantsOf(localFieldValue(ms, timezone), timezone)).toContain(ms);
      }),
      { numRuns: 300 },
    );
  },
);

test('of two that the clock shows alike the field says which, the first being meant where it says nothing', () => {
  const [first, second] = [Date.parse('2026-10-25T00:30Z'), Date.parse('2026-10-25T01:30Z')];
  expect(instantsOf('2026-10-25T02:30', 'Europe/Vienna')).toEqual([first, second]);
  expect(localFieldValue(first, 'Europe/Vienna')).toBe('2026-10-25T02:30');
  expect(localFieldValue(second, 'Europe/Vienna')).toBe('2026-10-25T02:30+01:00');
  expect(bareField('2026-10-25T02:30+01:00')).toBe('2026-10-25T02:30');
  // One that never was on that clock.
  expect(fromLocalField('2026-10-25T02:30+05:00', 'Europe/Vienna')).toBeNull();
  expect(instantsOf('2026-10-25T04:30', 'Europe/Vienna')).toHaveLength(1);
  expect(instantsOf('2026-03-29T02:30', 'Europe/Vienna')).toEqual([]);
});

test('which of two is meant outlives another minute, and not another hour', () => {
  const typed = (bare: string): string => retyped('2026-10-25T02:30+01:00', bare, 'Europe/Vienna');
  expect(typed('2026-10-25T02:45')).toBe('2026-10-25T02:45+01:00');
  expect(typed('2026-10-25T01:45')).toBe('2026-10-25T01:45');
  expect(typed('2026-07-25T02:45')).toBe('2026-07-25T02:45');
});
