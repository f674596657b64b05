import { expect, test } from 'vitest';
import { NO_OFFSET } from '../../../collector/contract/index.ts';
import { readLoggerTime } from '../../../collector/import/date-format.ts';

const read = (text: string, zone: string | null, notBefore = Number.NEGATIVE_INFINITY) =>
  readLoggerTime(text, { format: null, zone, as: 'sheet-days' }, notBefore);

// Source: ECMA-376 (1st edition, 2006), part 3, date representation, 1900 date base: DATEVALUE of 03-Feb-1910 and of 01-Feb-2006.
test.each([
  ['3687', Date.UTC(1910, 1, 3)],
  ['38749', Date.UTC(2006, 1, 1)],
])('day %s of a spreadsheet is that of the standard', (text, ms) => {
  expect(read(text, 'UTC')).toEqual({ ms, shown: 'once' });
});

test('the fraction of a spreadsheet’s day is the time of day by the wall clock, with either decimal mark', () => {
  // Sunday 25 October 2026, on which Vienna's clocks go back at three.
  expect(read('46320.75', 'Europe/Vienna').ms).toBe(Date.UTC(2026, 9, 25, 17));
  expect(read('46320,0000115741', 'Europe/Vienna').ms).toBe(Date.UTC(2026, 9, 24, 22, 0, 1));
  const [first, second] = [Date.UTC(2026, 9, 25, 0, 30), Date.UTC(2026, 9, 25, 1, 30)];
  const half = String(46320 + 2.5 / 24);
  expect(read(half, 'Europe/Vienna')).toEqual({ ms: first, shown: 'twice' });
  expect(read(half, 'Europe/Vienna', first + 1)).toEqual({ ms: second, shown: 'twice' });
});

test('what is no day of a spreadsheet cannot be read, and without a zone none can', () => {
  for (const text of ['', '-46320', '4.6e4', '46 320', '46320.', '2026-10-25', '1772439000'])
    expect(read(text, 'UTC').ms).toBeNaN();
  expect(read('46320.75', null).ms).toBe(NO_OFFSET);
});
