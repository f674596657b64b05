import { splitRow } from '../decode/csv-row.ts';

/** A row of CSV with the line on which it begins; the file's first is 1. */
export interface HeadRow {
  readonly line: number;
  readonly cells: readonly string[];
}

/** Rows of UTF-8 text that are whole, blank lines left out. */
export function headRows(text: Buffer, delimiter: string, skipLines = 0): HeadRow[] {
  const rows: HeadRow[] = [];
  let [at, line] = [0, 1];
  for (; line <= skipLines && at < text.length; line++) {
    const end = text.indexOf(10, at);
    at = end < 0 ? text.length : end + 1;
  }
  while (at < text.length) {
    const row = splitRow(text, at, text.length, delimiter.charCodeAt(0));
    if (row === null) break;
    if (row.fields.length > 1 || row.fields[0]!.trim() !== '') rows.push({ line, cells: row.fields });
    line += row.lines;
    at = row.next;
  }
  return rows;
}

/** What a file's first bytes say of how its text is written. Source of the marks: Unicode Standard, section 23.8. */
export function encodingOf(head: Buffer): 'utf-8' | 'windows-1252' | 'utf-16le' {
  if (head[0] === 0xff && head[1] === 0xfe) return 'utf-16le';
  try {
    new TextDecoder('utf-8', { fatal: true }).decode(head, { stream: true });
    return 'utf-8';
  } catch (error) {
    if (!(error instanceof TypeError)) throw error;
    return 'windows-1252';
  }
}
