import { expect, test } from 'vitest';
import { bridged } from '../../../dashboard/web/history/bridged.ts';

test('a line passes over two missing points and no more', () => {
  expect(bridged([1, null, 2, null, null, 3])).toEqual([1, undefined, 2, undefined, undefined, 3]);
  expect(bridged([1, null, null, null, 2])).toEqual([1, null, null, null, 2]);
});

test('nothing is passed over at either end, and 0 is a value', () => {
  expect(bridged([null, 0, null])).toEqual([null, 0, null]);
  expect(bridged([])).toEqual([]);
});
