import { expect, test } from 'vitest';
import { z } from 'zod';
import { wantedBy } from '../../../collector/files/wanted-words.ts';

const Kind = z.discriminatedUnion('do', [
  z.strictObject({ do: z.literal('plan') }),
  z.strictObject({ do: z.literal('shelve') }),
]);

test.each<[string, z.ZodType, unknown, string]>([
  ['another kind', z.object({}), 7, 'a mapping'],
  ['no number', z.coerce.number(), 'five', 'a number'],
  ['a broken number', z.number().int(), 1.5, 'a whole number'],
  ['no time', z.iso.datetime(), 'yesterday', 'a time in ISO 8601, such as 2026-03-02T08:00:00Z'],
  ['no date', z.iso.date(), '2026-13-40', 'a date, YYYY-MM-DD'],
  ['no such text', z.string().regex(/^a$/), 'b', 'text of the form /^a$/'],
  ['too long a text', z.string().max(3), 'long', 'at most 3 characters'],
  ['an empty text', z.string().min(1), '', 'text that is not empty'],
  ['a text of another length', z.string().length(1), 'ab', 'exactly 1 character'],
  ['too short a list', z.array(z.number()).min(1), [], 'at least 1 entry'],
  ['too long a list', z.array(z.number()).max(2), [1, 2, 3], 'at most 2 entries'],
  ['a number on an open limit', z.number().positive(), 0, 'more than 0'],
  ['a number beyond an open limit', z.number().lt(5), 5, 'less than 5'],
  ['too large a number', z.number().max(5), 7, 'at most 5'],
  ['no multiple', z.number().multipleOf(5), 7, 'a multiple of 5'],
  ['another word', z.enum(['good', 'worn', '']), 'bad', 'one of good, worn'],
  ['another value', z.literal(1), 2, '1'],
  ['none of several kinds', z.union([z.number(), z.boolean()]), 'x', 'a number or true or false'],
  ['a kind that is not known', Kind, { do: 'sell' }, 'one of plan, shelve'],
  ['words of the schema', z.string().min(1, 'expected a reason'), '', 'a reason'],
  ['words of a rule', z.string().refine(() => false, 'expected an IANA time zone'), 'x', 'an IANA time zone'],
])('%s is told in our own words', (_, schema, value, words) => {
  const [issue] = schema.safeParse(value).error!.issues;
  expect(wantedBy(issue!)).toBe(words);
});
