import {
  CHANNELS,
  EARLIEST_MS,
  type Frames,
  LATEST_MS,
  type Plant,
  powderAt,
  powderNames,
  RUN_FIELDS,
} from '../../collector/contract/index.ts';
import { refuseDamaged, type Store } from '../../collector/index.ts';
import type { ExportTable, TableCell, TableColumn } from './table.ts';

/** A span of time, epoch ms; null for an open end. */
export interface Span {
  readonly from: number | null;
  readonly to: number | null;
}

/** A trigger is 0 or 1, as in the contract's CSV: what goes out so can be imported again. */
const KINDS = { number: 'number', boolean: 'number', string: 'text' } as const;

/** Readings, one row an instant of a station, values in the channels' canonical units. */
export function readingsTable(store: Store, { from, to }: Span, only: string | null): ExportTable {
  const columns: TableColumn[] = [
    { name: 'time', kind: 'time' },
    { name: 'gun', kind: 'text' },
    ...CHANNELS.map(({ name, kind }) => ({ name, kind: KINDS[kind] })),
  ];
  const blocks = function* (): Generator<TableCell[][]> {
    for (const { station } of store.readings.stations())
      if (only === null || station === only)
        for (const frames of store.readings.iterateFrames(station, from ?? EARLIEST_MS, to ?? LATEST_MS))
          if (frames.times.length > 0) yield cellsOf(frames);
  };
  return { columns, blocks: { [Symbol.iterator]: blocks } };
}

function cellsOf({ station, times, columns, strings }: Frames): TableCell[][] {
  return [
    [...times],
    Array.from(times, () => station),
    ...CHANNELS.map(({ name, kind }) => {
      const column = columns[name];
      return Array.from(times, (_, row): TableCell => {
        const value = column?.[row] ?? Number.NaN;
        if (Number.isNaN(value)) return null;
        return kind === 'string' ? (strings[value] ?? null) : value;
      });
    }),
  ];
}

const RUN_TIMES: ReadonlySet<string> = new Set(['start', 'end']);

/** Spray runs, one row a trigger pull, columns named as the run's fields, and the plant file's name of the powder. */
export function runsTable(
  { store, plant }: { readonly store: Store; readonly plant: Pick<Plant, 'powders'> },
  { from, to }: Span,
  only: string | null,
): ExportTable {
  const columns: TableColumn[] = [
    { name: 'gun', kind: 'text' },
    ...RUN_FIELDS.map((name) => ({
      name,
      kind: RUN_TIMES.has(name) ? ('time' as const) : name === 'powder' ? ('text' as const) : ('number' as const),
    })),
  ];
  columns.push({ name: 'powderName', kind: 'text' });
  const names = powderNames(plant);
  const blocks = function* (): Generator<TableCell[][]> {
    for (const gun of store.runs.guns()) {
      if (only !== null && gun !== only) continue;
      const table = store.runs.load(gun, from ?? EARLIEST_MS, to ?? LATEST_MS);
      refuseDamaged(store.runs.damaged(gun, from ?? EARLIEST_MS, to ?? LATEST_MS));
      if (table.length === 0) continue;
      const cells = RUN_FIELDS.map((field) =>
        Array.from({ length: table.length }, (_, row): TableCell => {
          const value = table.columns[field][row]!;
          if (field === 'powder') return table.powders[value] ?? null;
          return Number.isNaN(value) ? null : value;
        }),
      );
      const named = Array.from({ length: table.length }, (_, row) => names.get(powderAt(table, row)) ?? null);
      yield [Array.from({ length: table.length }, () => gun), ...cells, named];
    }
  };
  return { columns, blocks: { [Symbol.iterator]: blocks } };
}
