import type { z } from 'zod';
import { printable } from '../contract/index.ts';

/** Our words of a schema begin so; the schema library's never do. */
const OWN = /^expected /;

/** What the library calls a kind of value, in ours. */
const KIND_WORDS: Readonly<Record<string, string>> = {
  object: 'a mapping',
  record: 'a mapping',
  array: 'a list',
  tuple: 'a list',
  string: 'text',
  number: 'a number',
  nan: 'a number',
  int: 'a whole number',
  boolean: 'true or false',
  null: 'null',
  undefined: 'nothing',
  never: 'nothing',
  nonoptional: 'a value',
};

const FORMAT_WORDS: Readonly<Record<string, string>> = {
  datetime: 'a time in ISO 8601, such as 2026-03-02T08:00:00Z',
  date: 'a date, YYYY-MM-DD',
  time: 'a time of day, HH:MM',
  email: 'a mail address',
  url: 'an address such as https://HOST',
};

/**
 * What a schema's issue expected of a value: the schema's own words where it has any, else ours for the kind of issue.
 *
 * @example
 * wantedBy({ code: 'too_big', origin: 'number', maximum: 5, inclusive: true, path: [], message: '', input: 7 }); // 'at most 5'
 */
export function wantedBy(issue: z.core.$ZodIssue): string {
  if (OWN.test(issue.message)) return printable(issue.message.replace(OWN, ''), 200);
  switch (issue.code) {
    case 'invalid_type':
      return KIND_WORDS[issue.expected] ?? issue.expected;
    case 'invalid_value':
      return list(issue.values);
    case 'invalid_format':
      return FORMAT_WORDS[issue.format] ?? `text of the form ${issue.pattern ?? issue.format}`;
    case 'too_small':
      return bound(
        issue.exact ? 'exactly' : (issue.inclusive ?? true) ? 'at least' : 'more than',
        issue.origin,
        issue.minimum,
      );
    case 'too_big':
      return bound(
        issue.exact ? 'exactly' : (issue.inclusive ?? true) ? 'at most' : 'less than',
        issue.origin,
        issue.maximum,
      );
    case 'not_multiple_of':
      return issue.divisor === 1 ? 'a whole number' : `a multiple of ${issue.divisor}`;
    case 'invalid_union':
      return ofSeveral(issue);
    case 'invalid_element':
    case 'invalid_key':
      return issue.issues.map(wantedBy).join(', ');
    case 'unrecognized_keys':
      return `none of ${issue.keys.join(' ')}`;
    case 'custom':
      return printable(issue.message, 200);
  }
}

/** Keys that a mapping may have, by what was said of one that it may not. */
export function keysOf(issues: readonly z.core.$ZodIssue[]): string {
  const [first] = issues;
  return first?.code === 'invalid_value' ? list(first.values) : 'a known key';
}

/** What each of several alternatives expected at their own level; of a kind that its own field tells, the kinds. */
function ofSeveral(issue: z.core.$ZodIssueInvalidUnion): string {
  const options = (issue as { readonly options?: readonly unknown[] }).options;
  if (options !== undefined && options.length > 0) return list(options);
  const wanted = issue.errors.flatMap((faults) => faults.slice(0, 1).map(wantedBy));
  return wanted.length === 0 ? 'another value' : [...new Set(wanted)].join(' or ');
}

/** The empty text is left out: it stands for no value at all. */
function list(values: readonly unknown[]): string {
  const named = values.filter((value) => value !== '').map(String);
  if (named.length === 1) return named[0]!;
  return `one of ${named.slice(0, 20).join(', ')}${named.length > 20 ? ', …' : ''}`;
}

function bound(word: string, origin: string, limit: number | bigint): string {
  const one = limit === 1 || limit === 1n;
  if (origin === 'string')
    return word === 'at least' && one ? 'text that is not empty' : `${word} ${limit} character${one ? '' : 's'}`;
  if (origin === 'array' || origin === 'set' || origin === 'map' || origin === 'object')
    return `${word} ${limit} ${one ? 'entry' : 'entries'}`;
  return `${word} ${limit}`;
}
