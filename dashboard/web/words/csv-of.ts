import { withoutFormula } from '../../../collector/contract/csv-cell.ts';

/**
 * A table as CSV (RFC 4180), as the service writes it. Words that a spreadsheet would take for a formula get an apostrophe in front.
 *
 * @param rows words as they are, numbers with the decimals to write; null for an empty cell
 */
export function csvOf(head: readonly string[], rows: readonly (readonly (string | Figure | null)[])[]): string {
  return [head, ...rows].map((cells) => `${cells.map((cell) => quoted(cellOf(cell))).join(',')}\r\n`).join('');
}

/** A number and how many decimals it is written with. */
export interface Figure {
  readonly value: number;
  readonly digits: number;
}

function cellOf(cell: string | Figure | null): string {
  if (cell === null) return '';
  return typeof cell === 'string' ? withoutFormula(cell) : cell.value.toFixed(cell.digits);
}

/** Source: RFC 4180, section 2, rules 5 to 7. */
const quoted = (cell: string): string => (/[",\r\n]/.test(cell) ? `"${cell.replaceAll('"', '""')}"` : cell);
