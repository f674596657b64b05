import type { z } from 'zod';
import { printable, quoted } from '../contract/index.ts';
import { isSecretField, NOT_SHOWN } from './secret-fields.ts';

export interface IssueWords {
  readonly path: readonly PropertyKey[];
  readonly found: string;
  readonly wanted: string;
}

/** Path of a field as people write it: `guns[0].channels`. */
export function fieldName(path: readonly PropertyKey[]): string {
  let text = '';
  for (const step of path) {
    if (typeof step === 'number') text += `[${step}]`;
    else text += text === '' ? String(step) : `.${String(step)}`;
  }
  return text === '' ? 'the whole' : text;
}

const at = (value: unknown, path: readonly PropertyKey[]): unknown => {
  let here = value;
  for (const step of path) {
    if (typeof here !== 'object' || here === null || !Object.hasOwn(here, step)) return undefined;
    here = (here as Record<PropertyKey, unknown>)[step];
  }
  return here;
};

const list = (values: readonly unknown[]): string => {
  const shown = values.slice(0, 20).map((value) => String(value));
  return `one of ${shown.join(' ')}${values.length > shown.length ? ' …' : ''}`;
};

const KIND_WORDS: Readonly<Record<string, string>> = {
  object: 'a mapping',
  record: 'a mapping',
  array: 'a list',
  tuple: 'a list',
  string: 'text',
  number: 'a number',
  int: 'a whole number',
  boolean: 'true or false',
};

interface Wrapped {
  def: {
    type: string;
    innerType?: Wrapped;
    element?: Wrapped;
    in?: Wrapped;
    shape?: Record<string, Wrapped>;
    valueType?: Wrapped;
    keyType?: { def: { entries?: Record<string, string> } };
  };
}

/** Keys that a schema knows at a path; null where it cannot be told. */
function knownKeys(schema: z.ZodType, path: readonly PropertyKey[]): string[] | null {
  let here = schema as unknown as Wrapped | undefined;
  const unwrap = (): void => {
    for (
      let inner = here?.def.innerType ?? here?.def.in;
      inner !== undefined;
      inner = here?.def.innerType ?? here?.def.in
    ) {
      here = inner;
    }
  };
  for (const step of path) {
    unwrap();
    here = typeof step === 'number' ? here?.def.element : (here?.def.shape?.[String(step)] ?? here?.def.valueType);
  }
  unwrap();
  const keys = here?.def.shape ?? here?.def.keyType?.def.entries;
  return keys === undefined ? null : Object.keys(keys);
}

/** Unknown keys of one mapping that are told of. Source: own choice: nobody mends more at a time, and a file may have a hundred thousand. */
const MOST_KEYS = 20;

/** Each issue for itself: a mapping's unknown keys come as one. */
export function singleIssues(issues: readonly z.core.$ZodIssue[]): z.core.$ZodIssue[] {
  return issues.flatMap((issue): z.core.$ZodIssue[] =>
    issue.code === 'unrecognized_keys'
      ? issue.keys.slice(0, MOST_KEYS).map((key) => ({ ...issue, keys: [key] }))
      : [issue],
  );
}

/** What a schema's issue says of a value: where, what was found, what was expected. */
export function describeIssue(issue: z.core.$ZodIssue, value: unknown, schema: z.ZodType): IssueWords {
  const { path } = issue;
  const there = at(value, path);
  const found = isSecretField(path) && there !== undefined ? NOT_SHOWN : quoted(there);
  const own = /^expected /.test(issue.message) ? issue.message.slice('expected '.length) : null;
  switch (issue.code) {
    case 'unrecognized_keys': {
      const known = knownKeys(schema, path);
      const [key = ''] = issue.keys;
      const wanted = known === null ? 'only known keys' : `only ${known.join(' ')}`;
      return { path: [...path, key], found: `the unknown key "${printable(key)}"`, wanted };
    }
    case 'invalid_key':
      return {
        path,
        found: `the unknown key ${quoted(path.at(-1))}`,
        wanted: optionsOf(issue.issues) ?? 'a known key',
      };
    case 'invalid_type':
      return { path, found, wanted: KIND_WORDS[issue.expected] ?? issue.expected };
    case 'invalid_value':
      return { path, found, wanted: list(issue.values) };
    case 'too_small':
      return { path, found, wanted: own ?? bound('at least', issue.origin, issue.minimum) };
    case 'too_big':
      return { path, found, wanted: own ?? bound('at most', issue.origin, issue.maximum) };
    case 'custom':
      return { path, found, wanted: own ?? printable(issue.message, 200) };
    default:
      return { path, found, wanted: own ?? printable(issue.message, 200) };
  }
}

/** Faults of a value, each in words: where, what was found, what was expected. */
export function valueFaults(error: z.ZodError, value: unknown, schema: z.ZodType): string[] {
  return singleIssues(error.issues).map((issue) => {
    const { path, found, wanted } = describeIssue(issue, value, schema);
    return `${printable(fieldName(path), 100)}: found ${found}, expected ${wanted}`;
  });
}

function bound(word: string, origin: string, limit: number | bigint): string {
  if (origin === 'string') return `${word} ${limit} characters`;
  if (origin === 'array' || origin === 'set' || origin === 'map') return `${word} ${limit} entries`;
  return `${word} ${limit}`;
}

function optionsOf(issues: readonly z.core.$ZodIssue[]): string | null {
  const [first] = issues;
  return first?.code === 'invalid_value' ? list(first.values) : null;
}
