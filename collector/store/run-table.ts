import { RUN_FIELDS, type RunField, type RunTable } from '../contract/runs.ts';
import { rowAt } from './block.ts';

/** Columns for so many runs, filled with zeros; those of other fields than these say that nothing was measured, in one column for all. */
export function runColumns(length: number, fields: readonly RunField[] = RUN_FIELDS): Record<RunField, Float64Array> {
  const nothing = fields.length === RUN_FIELDS.length ? new Float64Array(0) : new Float64Array(length).fill(Number.NaN);
  return Object.fromEntries(
    RUN_FIELDS.map((field) => [field, fields.includes(field) ? new Float64Array(length) : nothing]),
  ) as Record<RunField, Float64Array>;
}

export function emptyRuns(gun: string): RunTable {
  return { gun, length: 0, columns: runColumns(0), powders: [] };
}

/** Runs that start in [from, to), as a view of the same memory. */
export function runsBetween(table: RunTable, from: number, to: number): RunTable {
  const { gun, length, columns, powders } = table;
  const start = rowAt(columns.start, length, from);
  const end = Math.max(start, rowAt(columns.start, length, to));
  if (start === 0 && end === length) return table;
  const part = Object.fromEntries(RUN_FIELDS.map((field) => [field, columns[field].subarray(start, end)]));
  return { gun, length: end - start, columns: part as Record<RunField, Float64Array>, powders };
}

/** Tables of one gun that follow each other in time as one, with one list of powders. */
export function joinRuns(gun: string, tables: readonly RunTable[]): RunTable {
  const length = tables.reduce((sum, table) => sum + table.length, 0);
  const columns = runColumns(length);
  const powders: string[] = [];
  let at = 0;
  for (const table of tables) {
    for (const field of RUN_FIELDS) columns[field].set(table.columns[field].subarray(0, table.length), at);
    for (let row = at; row < at + table.length; row++) {
      const powder = table.powders[columns.powder[row] as number];
      if (powder === undefined) continue;
      const known = powders.indexOf(powder);
      columns.powder[row] = known >= 0 ? known : powders.push(powder) - 1;
    }
    at += table.length;
  }
  return { gun, length, columns, powders };
}
