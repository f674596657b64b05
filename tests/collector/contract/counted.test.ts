import { expect, it } from 'vitest';
import { counted } from '../../../collector/contract/index.ts';

it.each([
  [0, 'reading', undefined, '0 readings'],
  [1, 'reading', undefined, '1 reading'],
  [2, 'reading', undefined, '2 readings'],
  [1, 'log entry', 'log entries', '1 log entry'],
  [11, 'log entry', 'log entries', '11 log entries'],
  ['1', 'spray hour', undefined, '1 spray hour'],
  ['1 200', 'row', undefined, '1 200 rows'],
] as const)('says %s of %s', (count, one, many, told) => {
  expect(counted(count, one, many)).toBe(told);
});
