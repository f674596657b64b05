import { expect, test } from 'vitest';
import { wrapped } from '../../../dashboard/web/history/wrapped.ts';

test.each([
  ['one two three', 13, ['one two three']],
  ['one two three', 12, ['one two', 'three']],
  ['one two three', 2, ['one', 'two', 'three']],
  ['', 5, ['']],
])('"%s" in lines of %i letters', (text, room, lines) => {
  expect(wrapped(text, room, ({ length }) => length)).toEqual(lines);
});
