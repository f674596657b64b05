import { readdirSync, readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';

/** Rooms whose docstrings carry examples: the pure rooms of the analyzer, and the simulators. */
const ROOMS = [
  ...['runs', 'baseline', 'detect', 'diagnose', 'forecast', 'advise', 'stats', 'physics'].map(
    (room) => `analyzer/${room}`,
  ),
  'simulators',
];

interface Example {
  readonly code: string;
  readonly result: string;
}

/**
 * Examples of a source file: the lines after `@example` up to the end of the docstring or its next tag. The last line is
 * `expression; // result`; lines before it are statements.
 */
function examplesOf(source: string): Example[] {
  const found: Example[] = [];
  for (const [docstring] of source.matchAll(/\/\*\*[\s\S]*?\*\//g)) {
    const text = docstring.replace(/\*\/$/, '').replace(/^\s*\* ?/gm, '');
    for (const [, body] of text.matchAll(/@example\s*\n([\s\S]*?)(?=\n\s*@|$)/g)) {
      const lines = body!.trim().split('\n');
      const last = /^(.*?);?\s*\/\/ (.*)$/.exec(lines.at(-1)!.trim());
      if (!last) throw new Error(`an example does not end in "expression; // result": ${body}`);
      found.push({
        code: [...lines.slice(0, -1), `return (${last[1]!.replace(/;$/, '')});`].join('\n'),
        result: last[2]!.trim(),
      });
    }
  }
  return found;
}

/** Half a unit of the last printed place of a number; a whole number means exactly that. */
function tolerance(printed: string): number {
  const [mantissa, exponent = '0'] = printed.toLowerCase().split('e');
  const decimals = mantissa!.split('.')[1]?.length ?? 0;
  const place = 10 ** (Number(exponent) - decimals);
  return printed.includes('.') || printed.includes('e')
    ? 0.5001 * place
    : 1e-9 * Math.max(1, Math.abs(Number(printed)));
}

/** A result as text with every number replaced by a mark, and the numbers in order. */
function taken(text: string): { readonly frame: string; readonly numbers: string[] } {
  const numbers: string[] = [];
  const frame = text
    .replace(/(?<![\w.])-?\d[\d_]*(?:\.\d+)?(?:e[+-]?\d+)?/gi, (number) => {
      numbers.push(number.replaceAll('_', ''));
      return '#';
    })
    .replace(/["'`]/g, "'")
    .replace(/\s+/g, '');
  return { frame, numbers };
}

function shown(value: unknown): string {
  if (value instanceof Float64Array || Array.isArray(value)) return `[${Array.from(value, shown).join(', ')}]`;
  if (value instanceof Map) return shown(Object.fromEntries(value));
  if (typeof value === 'object' && value !== null)
    return `{ ${Object.entries(value)
      .map(([key, inner]) => `${key}: ${shown(inner)}`)
      .join(', ')} }`;
  return typeof value === 'string' ? `'${value}'` : String(value);
}

function expectShown(value: unknown, result: string): void {
  const actual = taken(shown(value));
  const expected = taken(result);
  expect(actual.frame, `${shown(value)} against ${result}`).toBe(expected.frame);
  for (const [index, number] of expected.numbers.entries())
    expect(
      Math.abs(Number(actual.numbers[index]) - Number(number)),
      `${shown(value)} against ${result}`,
    ).toBeLessThanOrEqual(tolerance(number));
}

const root = new URL('../', import.meta.url);
const sources = ROOMS.flatMap((room) =>
  readdirSync(new URL(room, root), { recursive: true, withFileTypes: true })
    .filter((entry) => entry.isFile() && entry.name.endsWith('.ts'))
    .map((entry) => `${entry.parentPath}/${entry.name}`),
).sort();

describe('docstring examples give the results that they state', () => {
  for (const path of sources) {
    const examples = examplesOf(readFileSync(path, 'utf8'));
    if (examples.length === 0) continue;
    it(path.slice(root.pathname.length), async () => {
      const module = (await import(/* @vite-ignore */ path)) as Record<string, unknown>;
      for (const { code, result } of examples) {
        const run = new Function(...Object.keys(module), code);
        const error = /^throws (\w+)$/.exec(result);
        if (error)
          expect(() => run(...Object.values(module)), code).toThrow(expect.objectContaining({ name: error[1] }));
        else expectShown(run(...Object.values(module)), result);
      }
    });
  }
});
