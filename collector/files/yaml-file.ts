import { type Document, isNode, isScalar, LineCounter, type Node, parseAllDocuments, visit } from 'yaml';
import type { z } from 'zod';
import { AppError, type Code, printable } from '../contract/index.ts';
import { fileError } from '../decode/file-fault.ts';
import { fileLimits } from './file-limits.ts';
import { describeIssue, fieldName, singleIssues } from './issue-words.ts';

/** Source: own choice, because a plant of 2000 guns takes some 300 kB, and the parser needs seconds for a MB of junk. */
export const MOST_YAML_BYTES = 1_048_576;
/** Nesting beyond any file of ours; deeper text would exhaust the parser's stack. Source: own choice. */
const MOST_DEPTH = 40;
const FAULTS_NAMED = 5;

export interface YamlSource {
  /** Name for messages. */
  readonly file: string;
  readonly code: Code;
  /** What the file should be, for messages: `a plant file (YAML)`. */
  readonly expected: string;
}

/**
 * Text of a YAML file as a value of a schema.
 *
 * @param whenEmpty value of a file that holds nothing but comments; without it such a file is refused
 * @throws {AppError} with the source's code, one line that names file, line, field, what was found and what was
 *   expected; of several faults the first five
 */
export function parseYaml<T extends z.ZodType>(
  text: string,
  schema: T,
  source: YamlSource,
  whenEmpty?: unknown,
): z.infer<T> {
  const read = readYaml(text, schema, source, whenEmpty);
  if (read.ok) return read.value;
  const { faults } = read;
  const more = faults.length > FAULTS_NAMED ? `; and ${faults.length - FAULTS_NAMED} more` : '';
  throw new AppError(source.code, `${printable(source.file, 200)}: ${faults.slice(0, FAULTS_NAMED).join('; ')}${more}`);
}

/** Every fault of a file as a line of its own, as `parseYaml` words them; empty when there is none. */
export function yamlFaults(text: string, schema: z.ZodType, source: YamlSource, whenEmpty?: unknown): string[] {
  try {
    const read = readYaml(text, schema, source, whenEmpty);
    return read.ok ? [] : read.faults.map((fault) => `${printable(source.file, 200)}: ${fault}`);
  } catch (error) {
    if (error instanceof AppError) return [error.message];
    throw error;
  }
}

type ReadYaml<T> = { readonly ok: true; readonly value: T } | { readonly ok: false; readonly faults: string[] };

/** @throws {AppError} when the text is no YAML, so that no single fields can be named */
function readYaml<T extends z.ZodType>(
  text: string,
  schema: T,
  source: YamlSource,
  whenEmpty?: unknown,
): ReadYaml<z.infer<T>> {
  const { file, code, expected } = source;
  if (text.trim() === '') throw fileError(code, { file, found: 'an empty file', expected });
  if (Buffer.byteLength(text) > MOST_YAML_BYTES) {
    throw fileError(code, { file, found: `more than ${MOST_YAML_BYTES} bytes`, expected });
  }
  const lines = new LineCounter();
  refuseDepth(text, source);
  const document = parseDocument(text, source, lines);
  if (document === null) {
    if (whenEmpty === undefined) throw fileError(code, { file, found: 'nothing but comments', expected });
    return { ok: true, value: schema.parse(whenEmpty) };
  }
  let value: unknown;
  try {
    value = document.toJS({ maxAliasCount: fileLimits().maxYamlAliases });
  } catch (error) {
    if (error instanceof AppError) throw error;
    const found = error instanceof RangeError ? 'too deep a nesting' : 'an alias that is unknown or used too often';
    throw fileError(code, { file, found, expected }, error);
  }
  if (value === null || value === undefined) value = whenEmpty ?? value;
  const result = schema.safeParse(value);
  if (result.success) return { ok: true, value: result.data };
  const faults = singleIssues(result.error.issues).map((issue) => {
    const { path, found, wanted } = describeIssue(issue, value, schema);
    return `line ${lineOf(document, path, lines)}: ${printable(fieldName(path), 100)}: found ${found}, expected ${wanted}`;
  });
  return { ok: false, faults };
}

/** The text's one document; null when it holds nothing but comments. */
function parseDocument(text: string, source: YamlSource, lineCounter: LineCounter): Document.Parsed | null {
  const { file, code, expected } = source;
  let documents: ReturnType<typeof parseAllDocuments>;
  // Junk makes a fault of every character: their stack traces would take ten times the time and memory of the rest.
  const { stackTraceLimit } = Error;
  Error.stackTraceLimit = 0;
  try {
    documents = parseAllDocuments(text, {
      lineCounter,
      prettyErrors: false,
      uniqueKeys: false,
      version: '1.2',
      logLevel: 'silent',
    });
  } catch (error) {
    if (!(error instanceof RangeError)) throw error;
    throw fileError(code, { file, found: 'too deep a nesting', expected }, error);
  } finally {
    Error.stackTraceLimit = stackTraceLimit;
  }
  const [document] = documents;
  if (document === undefined) return null;
  const [fault] = document.errors;
  if (fault !== undefined) {
    const line = lineCounter.linePos(fault.pos[0]).line;
    const found = `what is no YAML (${printable(fault.message, 100)})`;
    throw fileError(code, { file, line, found, expected });
  }
  if (documents.length > 1) {
    const line = lineCounter.linePos(documents[1]?.range?.[0] ?? 0).line;
    throw fileError(code, { file, line, found: 'a second document', expected: 'one' });
  }
  refuseRepeatedKeys(document as Document.Parsed, source, lineCounter);
  return document as Document.Parsed;
}

/** The parser's own check compares every key with every other; with a set it stays quick for any file. */
function refuseRepeatedKeys(document: Document.Parsed, source: YamlSource, lines: LineCounter): void {
  visit(document, {
    Map(_key, map) {
      const seen = new Set<unknown>();
      for (const { key } of map.items) {
        if (!isScalar(key)) continue;
        const name = String(key.value);
        if (seen.has(name)) {
          const line = lines.linePos(key.range?.[0] ?? 0).line;
          throw fileError(source.code, {
            file: source.file,
            line,
            field: name,
            found: 'the key twice',
            expected: 'each key once',
          });
        }
        seen.add(name);
      }
    },
  });
}

/** Refuses text whose brackets or block indicators nest too deep, before the parser's stack has to. */
function refuseDepth(text: string, { file, code, expected }: YamlSource): void {
  let line = 1;
  let flow = 0;
  let dashes = 0;
  let indents: number[] = [];
  for (const row of text.split('\n')) {
    for (const character of row) {
      if (character === '[' || character === '{') flow++;
      else if ((character === ']' || character === '}') && flow > 0) flow--;
    }
    const indicators = /^(\s*(?:[-?:]\s+)*)/.exec(row.slice(0, 4096))?.[1] ?? '';
    dashes = indicators.replace(/\s/g, '').length;
    const indent = indicators.length;
    if (row.trim() !== '') indents = [...indents.filter((one) => one < indent), indent];
    if (flow > MOST_DEPTH || dashes > MOST_DEPTH || indents.length > MOST_DEPTH) {
      throw fileError(code, { file, line, found: `more than ${MOST_DEPTH} levels of nesting`, expected });
    }
    line++;
  }
}

/** Line of the node at a path, or of the nearest one around it. */
function lineOf(document: Document.Parsed, path: readonly PropertyKey[], lines: LineCounter): number {
  for (let length = path.length; length >= 0; length--) {
    const node: unknown = document.getIn(path.slice(0, length), true);
    if (isNode(node) && (node as Node).range) return lines.linePos((node as Node).range?.[0] ?? 0).line;
  }
  return 1;
}
