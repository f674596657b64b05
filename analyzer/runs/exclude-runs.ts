import { type ExcludedSpan, RUN_FIELDS, type RunField, type RunTable } from '../../collector/contract/index.ts';

/**
 * A table without the runs that start within spans of its gun that people excluded; the table itself where none does.
 *
 * @param spans of any guns, epoch ms, from inclusive to exclusive
 */
export function excludeRuns(table: RunTable, spans: readonly ExcludedSpan[]): RunTable {
  const own = spans.filter(({ gun }) => gun === table.gun);
  if (own.length === 0) return table;
  const kept: number[] = [];
  for (let row = 0; row < table.length; row++) {
    const start = table.columns.start[row]!;
    if (!own.some(({ from, to }) => start >= from && start < to)) kept.push(row);
  }
  if (kept.length === table.length) return table;
  const columns = Object.fromEntries(
    RUN_FIELDS.map((field) => [field, Float64Array.from(kept, (row) => table.columns[field][row]!)]),
  ) as Record<RunField, Float64Array>;
  return { ...table, length: kept.length, columns };
}
