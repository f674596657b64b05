import { expect, test } from 'vitest';
import { aloneAt } from '../../../dashboard/web/history/alone.ts';

test('a value between two gaps has no line, one beside another has', () => {
  expect(aloneAt([1, null, 2, 3, null, 4, null, null, 5])).toEqual([0, 5, 8]);
  expect(aloneAt([1, 2, null])).toEqual([]);
  expect(aloneAt([])).toEqual([]);
});

test('a place that the line passes over is no gap', () => {
  expect(aloneAt([1, undefined, 2, null, undefined, 3, undefined])).toEqual([5]);
});
