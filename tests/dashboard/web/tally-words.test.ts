import { expect, test } from 'vitest';
import { hoursText } from '../../../analyzer/study/interval-text.ts';
import { warningHours } from '../../../dashboard/web/settings/tally-words.ts';

test.each([
  [{ value: 3.42, low: 1.96, high: 8.04 }, '3.4 (2.0 to 8.0)', '3.4 (2.0–8.0)'],
  [{ value: 9.99, low: 4, high: 21.5 }, '10.0 (4.0 to 21.5)', '10.0 (4.0–21.5)'],
  [{ value: 10, low: 4, high: 21.5 }, '10 (4 to 22)', '10 (4–22)'],
  [null, 'nothing to measure', '-'],
])('spray hours of warning are told to a tenth below ten: %j', (of, onScreen, onPaper) => {
  expect(warningHours(of)).toBe(onScreen);
  expect(hoursText(of)).toBe(onPaper);
});
