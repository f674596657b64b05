import { JSONPathEnvironment, JSONPathError, type JSONPathQuery, type JSONValue } from 'json-p3';
import { printable } from '../../contract/index.ts';

/** Recursion of `$..x`. Source: own choice: deeper than any payload that is let in. */
const ENVIRONMENT = new JSONPathEnvironment({ maxRecursionDepth: 100 });

/** What is wrong with a JSON path (RFC 9535), in words; null when nothing is. */
export function pathFault(path: string): string | null {
  try {
    ENVIRONMENT.compile(path);
    return null;
  } catch (error) {
    return printable(error instanceof Error ? error.message : String(error), 120);
  }
}

/** A JSON path, ready for use. @throws {JSONPathError} where `pathFault` finds something */
export function compilePath(path: string): JSONPathQuery {
  return ENVIRONMENT.compile(path);
}

/**
 * The values that a path finds; a list that it finds alone stands for its items.
 *
 * @returns null when the path would have to look at too much
 * @example
 * valuesAt(compilePath('$.p'), { p: [1, 2] }); // [1, 2]
 */
export function valuesAt(path: JSONPathQuery, root: unknown): unknown[] | null {
  const values = nodesAt(path, root);
  const [only] = values ?? [];
  return values?.length === 1 && Array.isArray(only) ? only : values;
}

/** The values that a path finds, lists as they are; null when it would have to look at too much. */
export function nodesAt(path: JSONPathQuery, root: unknown): unknown[] | null {
  try {
    return path.query(root as JSONValue).values();
  } catch (error) {
    if (error instanceof JSONPathError) return null;
    throw error;
  }
}
