import { RUN_FIELDS, type RunTable } from '../../collector/contract/index.ts';
import { GrowingRuns } from '../runs/growing-runs.ts';

/** A table to go on from, its powders numbered as in `powders`. */
export function withPowders(table: RunTable, powders: readonly string[], length = table.length): GrowingRuns {
  const names = [...powders];
  const numbers = new Map<number, number>();
  const powder = table.columns.powder.slice(0, length);
  for (let row = 0; row < length; row++) {
    const before = powder[row]!;
    let number = numbers.get(before);
    if (number === undefined) {
      const name = table.powders[before];
      number = name === undefined ? -1 : names.indexOf(name);
      if (name !== undefined && number < 0) number = names.push(name) - 1;
      numbers.set(before, number);
    }
    powder[row] = number;
  }
  return new GrowingRuns(table.gun, { ...table, length, powders: names, columns: { ...table.columns, powder } });
}

/** The first `length` runs, for themselves. */
export function copyOf(table: RunTable, length: number): RunTable {
  const columns = Object.fromEntries(RUN_FIELDS.map((field) => [field, table.columns[field].slice(0, length)]));
  return { ...table, length, columns: columns as RunTable['columns'] };
}
