/** What a spreadsheet would take for a formula. Source: OWASP, CSV Injection. */
const FORMULA = /^[=+\-@\t\r]/;

/**
 * A table as CSV (RFC 4180). Words that a spreadsheet would take for a formula get an apostrophe in front; numbers stay as they are.
 *
 * @param rows words as they are, numbers with the decimals to write; null for an empty cell
 */
export function csvOf(head: readonly string[], rows: readonly (readonly (string | Figure | null)[])[]): string {
  return [head, ...rows].map((cells) => `${cells.map(cellOf).join(',')}\r\n`).join('');
}

/** A number and how many decimals it is written with. */
export interface Figure {
  readonly value: number;
  readonly digits: number;
}

function cellOf(cell: string | Figure | null): string {
  if (cell === null) return '';
  if (typeof cell !== 'string') return cell.value.toFixed(cell.digits);
  const safe = FORMULA.test(cell) ? `'${cell}` : cell;
  return /[",\r\n]/.test(safe) ? `"${safe.replaceAll('"', '""')}"` : safe;
}
