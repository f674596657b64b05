import { RUN_FIELDS, type RunTable } from '../../collector/contract/index.ts';
import { GrowingRuns } from '../runs/growing-runs.ts';
import type { Track } from '../site.ts';

/**
 * A table to go on from, its powders numbered as in `powders`.
 *
 * @param base rows before it that are not in it
 */
export function withPowders(table: RunTable, powders: readonly string[], base = 0): GrowingRuns {
  const { length } = table;
  const names = [...powders];
  const numbers = new Map<number, number>();
  const powder = table.columns.powder.slice(0, length);
  let last = Number.NaN;
  let number: number | undefined;
  for (let row = 0; row < length; row++) {
    const before = powder[row]!;
    // One powder is sprayed for hours.
    if (before !== last) number = numbers.get(before);
    last = before;
    if (number === undefined) {
      const name = table.powders[before];
      number = name === undefined ? -1 : names.indexOf(name);
      if (name !== undefined && number < 0) number = names.push(name) - 1;
      numbers.set(before, number);
    }
    powder[row] = number;
  }
  return new GrowingRuns(table.gun, { ...table, powders: names, columns: { ...table.columns, powder } }, base);
}

/** Rows [from, to) of a table, as views of the same memory. */
export function rowsOf(table: RunTable, from: number, to: number): RunTable {
  if (from === 0 && to === table.length) return table;
  const columns = Object.fromEntries(RUN_FIELDS.map((field) => [field, table.columns[field].subarray(from, to)]));
  return { ...table, length: to - from, columns: columns as RunTable['columns'] };
}

/** All runs of a track in one table, those that have to be read too. */
export function wholeRuns({ runs, earlier }: Pick<Track, 'runs' | 'earlier'>): RunTable {
  if (earlier === undefined) return runs;
  const { table, from, to } = earlier.between(0, earlier.until);
  const before = rowsOf(table, from, to);
  const powders = [...new Set([...before.powders, ...runs.powders])];
  const columns = Object.fromEntries(
    RUN_FIELDS.map((field) => {
      const column = new Float64Array(before.length + runs.length);
      column.set(before.columns[field]);
      column.set(runs.columns[field], before.length);
      return [field, column];
    }),
  ) as RunTable['columns'];
  for (let row = before.length; row < columns.powder.length; row++)
    columns.powder[row] = powders.indexOf(runs.powders[columns.powder[row]!] ?? '');
  return { gun: runs.gun, length: before.length + runs.length, columns, powders };
}

/** The first `length` runs, for themselves. */
export function copyOf(table: RunTable, length: number): RunTable {
  const columns = Object.fromEntries(RUN_FIELDS.map((field) => [field, table.columns[field].slice(0, length)]));
  return { ...table, length, columns: columns as RunTable['columns'] };
}
