import { expect, test } from 'vitest';
import { bytes, clockWords, days, growthWords } from '../../../dashboard/web/status/status-words.ts';

test.each([
  [0, '0 B'],
  [999, '999 B'],
  [1000, '1.0 kB'],
  [9_940_000, '9.9 MB'],
  [9_960_000, '10 MB'],
  [1.5e12, '1.5 TB'],
  [-2e6, '−2.0 MB'],
])('%d bytes are "%s"', (value, text) => expect(bytes(value)).toBe(text));

test.each([
  [0.4, 'less than a day'],
  [1.9, '1 day'],
  [12.2, '12 days'],
  [3650, '3\u202f650 days'],
])('%d days are "%s"', (value, text) => expect(days(value)).toBe(text));

test.each([
  [-45, '45 s behind'],
  [600, '10 min ahead'],
  [7200, '2 h ahead'],
  [-7500, '2 h 5 min behind'],
  [-1.78e9, '56 years behind'],
])('a clock off by %d s is "%s"', (value, text) => expect(clockWords(value)).toBe(text));

test('a growth that is not known promises nothing', () => {
  expect(growthWords(null)).toBe('known after four hours');
  expect(growthWords(-500)).toBe('none');
  expect(growthWords(2.5e8)).toBe('250 MB a day');
});
