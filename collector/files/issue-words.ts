import type { z } from 'zod';
import { printable, quoted } from '../contract/index.ts';
import { isSecretField, NOT_SHOWN } from './secret-fields.ts';
import { keysOf, wantedBy } from './wanted-words.ts';

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

/**
 * What a schema's issue says of a value: where, what was found, what was expected, in our own words.
 *
 * @param holder what `value` is of, for an unknown key: a mapping's `key`, a body's `field`, a query's `parameter`
 */
export function describeIssue(
  issue: z.core.$ZodIssue,
  value: unknown,
  schema: z.ZodType,
  holder: 'key' | 'field' | 'parameter' = 'key',
): IssueWords {
  const { path } = issue;
  const there = at(value, path);
  const found = isSecretField(path) && there !== undefined ? NOT_SHOWN : quoted(there);
  if (issue.code === 'unrecognized_keys') {
    const known = knownKeys(schema, path);
    const [key = ''] = issue.keys;
    const wanted = known === null ? `only known ${holder}s` : known.length === 0 ? 'none' : `only ${known.join(' ')}`;
    return { path: [...path, key], found: `the unknown ${holder} "${printable(key)}"`, wanted };
  }
  if (issue.code === 'invalid_key')
    return { path, found: `the unknown ${holder} ${quoted(path.at(-1))}`, wanted: keysOf(issue.issues) };
  return { path, found, wanted: wantedBy(issue) };
}

/** Faults of a value, each in words: where, what was found, what was expected. */
export function valueFaults(error: z.ZodError, value: unknown, schema: z.ZodType): string[] {
  return singleIssues(error.issues).map((issue) => {
    const { path, found, wanted } = describeIssue(issue, value, schema);
    return `${printable(fieldName(path), 100)}: found ${found}, expected ${wanted}`;
  });
}
