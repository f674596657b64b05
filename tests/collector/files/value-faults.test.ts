import { expect, test } from 'vitest';
import { z } from 'zod';
import { valueFaults } from '../../../collector/index.ts';

const Shift = z.strictObject({ from: z.string(), guns: z.array(z.number().int().min(1)) });

test('every fault of a value says where it is, what was found and what was expected', () => {
  const value = { from: 6, guns: [2, 0], colour: 'red', size: 7 };
  const { error } = Shift.safeParse(value);
  expect(valueFaults(error!, value, Shift)).toEqual([
    'from: found 6, expected text',
    'guns[1]: found 0, expected at least 1',
    'colour: found the unknown key "colour", expected only from guns',
    'size: found the unknown key "size", expected only from guns',
  ]);
});

test('of a great many unknown keys no more are told of than somebody mends', () => {
  const value = Object.fromEntries(Array.from({ length: 1000 }, (_, index) => [`key-${index}`, index]));
  const told = valueFaults(z.strictObject({}).safeParse(value).error!, value, z.strictObject({}));
  expect(told).toHaveLength(20);
  expect(told[19]).toContain('"key-19"');
});

test('a value that is no mapping at all is told as the whole', () => {
  const { error } = Shift.safeParse('six');
  expect(valueFaults(error!, 'six', Shift)).toEqual(['the whole: found "six", expected a mapping']);
});
