import { AppError, type Code, printable } from '../contract/index.ts';

/** Where in a file something is wrong, what was found and what was expected. */
export interface FileFault {
  readonly file: string;
  readonly line?: number | undefined;
  readonly field?: string | undefined;
  readonly found: string;
  readonly expected: string;
}

/**
 * The one line that names file, line, field, what was found and what was expected.
 *
 * @example
 * faultLine({ file: 'log.csv', line: 7, field: 'part', found: '"pomp"', expected: 'a part id' });
 * // 'log.csv: line 7: part: found "pomp", expected a part id'
 */
export function faultLine(fault: FileFault): string {
  const where = [printable(fault.file, 200)];
  if (fault.line !== undefined) where.push(`line ${fault.line}`);
  if (fault.field !== undefined) where.push(printable(fault.field));
  return `${where.join(': ')}: found ${fault.found}, expected ${fault.expected}`;
}

export function fileError(code: Code, fault: FileFault, cause?: unknown): AppError {
  return new AppError(code, faultLine(fault), cause === undefined ? undefined : { cause });
}
