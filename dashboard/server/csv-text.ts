import { stringify } from 'csv-stringify/sync';
import { withoutFormula } from '../../collector/contract/index.ts';

/** A cell as it is written; null is an empty one. */
export type Cell = string | number | null;

/**
 * A table as CSV (RFC 4180): CRLF line ends, quotes where needed. Text that a spreadsheet would take for a formula gets an apostrophe in
 * front; numbers stay numbers.
 *
 * @example
 * csvText(['part'], [['=1+1']]).length; // 13
 */
export function csvText(head: readonly string[], rows: readonly (readonly Cell[])[]): string {
  const safe = rows.map((row) => row.map((cell) => (typeof cell === 'string' ? withoutFormula(cell) : cell)));
  return stringify([[...head], ...safe], { record_delimiter: '\r\n' });
}

/** Headers that let a browser save the answer under a name. */
export function savedAs(name: string): Record<string, string> {
  return { 'Content-Disposition': `attachment; filename="${name}"` };
}

/** A number with so many decimals, for people's spreadsheets; null stays empty. */
export function rounded(value: number | null, decimals: number): number | null {
  return value === null ? null : Number(value.toFixed(decimals));
}
