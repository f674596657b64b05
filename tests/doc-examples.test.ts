import { readdirSync, readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';

/** Folders whose docstrings carry examples. */
const ROOMS = ['collector', 'analyzer', 'dashboard', 'simulators', 'evaluation'];

interface Example {
  readonly code: string;
  readonly result: string;
}

/**
 * Examples of a source file: the lines after `@example` up to the end of the docstring or its next tag. A line is
 * `expression; // result`, or the result stands alone on the next one; other lines are statements before them.
 */
function examplesOf(source: string): Example[] {
  const found: Example[] = [];
  for (const [docstring] of source.matchAll(/\/\*\*[\s\S]*?\*\//g)) {
    const text = docstring.replace(/\*\/$/, '').replace(/^\s*\* ?/gm, '');
    for (const [, body] of text.matchAll(/@example\s*\n([\s\S]*?)(?=\n\s*@|$)/g)) {
      const statements: string[] = [];
      const lines = body!
        .trim()
        .replace(/;\n\s*\/\/ /g, '; // ')
        .split('\n');
      for (const line of lines) {
        const [, expression, result] = /^(.*?);?\s*\/\/ (.*)$/.exec(line.trim()) ?? [];
        if (expression === undefined) statements.push(line);
        else found.push({ code: [...statements, `return (${expression});`].join('\n'), result: result!.trim() });
      }
      if (statements.length === lines.length) throw new Error(`an example does not state its result: ${body}`);
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
    .replace(/\\u([0-9a-f]{4})/g, (_, code: string) => String.fromCharCode(Number.parseInt(code, 16)))
    .replace(/(?<![\w.])-?\d[\d_]*(?:\.\d+)?(?:e[+-]?\d+)?/gi, (number) => {
      numbers.push(number.replaceAll('_', ''));
      return '#';
    })
    .replace(/["'`]/g, "'")
    .replace(/\s+/g, '');
  return { frame, numbers };
}

const isList = (value: unknown): value is ArrayLike<unknown> =>
  Array.isArray(value) || (ArrayBuffer.isView(value) && 'length' in value);

function shown(value: unknown): string {
  if (isList(value)) return `[${Array.from(value, shown).join(', ')}]`;
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
    .filter((entry) => entry.isFile() && /\.tsx?$/.test(entry.name))
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
