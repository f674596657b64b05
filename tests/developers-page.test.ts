import { readFileSync } from 'node:fs';
import { expect, test } from 'vitest';
import { z } from 'zod';
import { codes } from '../collector/contract/index.ts';
import { OperationConfig, REASONS } from '../collector/index.ts';

const page = readFileSync(new URL('../DEVELOPERS.md', import.meta.url), 'utf8');
const rowsUnder = (heading: string): string[][] => {
  const section = page.split(`## ${heading}\n`)[1]!.split('\n## ')[0]!;
  const rows = section.split('\n').filter((line) => line.startsWith('| `'));
  return rows.map((row) => row.slice(2, -2).split(' | '));
};

test('DEVELOPERS.md lists every error code with its statuses', () => {
  const listed = rowsUnder('Error codes');
  const expected = Object.entries(codes).map(([code, { exit, http, title }]) => [
    `\`${code}\``,
    String(exit),
    String(http),
    title,
  ]);
  expect(listed).toEqual(expected);
});

test('DEVELOPERS.md lists every reason for a refusal', () => {
  expect(rowsUnder('Reasons for refusals')).toEqual(
    Object.entries(REASONS).map(([reason, words]) => [`\`${reason}\``, words]),
  );
});

interface Key {
  readonly properties?: Readonly<Record<string, Key>>;
  readonly default?: unknown;
  readonly unit?: string;
  readonly description?: string;
}

function keysOf(path: string, { properties, ...leaf }: Key): string[][] {
  if (properties === undefined)
    return [[`\`${path}\``, `\`${String(leaf.default)}\``, leaf.unit ?? '', leaf.description ?? '']];
  return Object.entries(properties).flatMap(([key, inner]) => keysOf(path === '' ? key : `${path}.${key}`, inner));
}

test('DEVELOPERS.md lists every key of the configuration with its default', () => {
  const schema = z.toJSONSchema(OperationConfig, { io: 'input' }) as Key;
  expect(rowsUnder('Configuration')).toEqual(keysOf('', schema));
});
