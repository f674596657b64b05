import { CHANNELS, EARLIEST_MS, LATEST_MS } from '../../collector/contract/index.ts';
import type { Store } from '../../collector/index.ts';
import type { Span } from './readings-table.ts';
import { columnsOf, type ExportTable, type TableCell } from './table.ts';

const COLUMNS =
  'time:time gun:text minutes:number channel:text unit:text lowest:number mean:number highest:number readings:number';

/** Of how much time spans are in memory at once, ms. Source: own choice: 4 320 spans of ten minutes. */
const PIECE_MS = 30 * 86_400_000;

/**
 * What retention has left of raw readings: a row for each span and channel, by its start; lowest, mean and highest in the channel's
 * canonical unit, a trigger as 0 and 1 without one.
 */
export function thinnedTable(
  { readings }: Pick<Store, 'readings'>,
  { from, to }: Span,
  only: string | null,
): ExportTable {
  const blocks = function* (): Generator<TableCell[][]> {
    for (const { station, firstTime } of readings.stations()) {
      if (only !== null && station !== only) continue;
      const rawFrom = readings.thinnedAway(station)?.rawFrom ?? EARLIEST_MS;
      const end = Math.min(to ?? LATEST_MS, rawFrom);
      // A span begins before its first reading.
      let start = Math.max(from ?? EARLIEST_MS, Math.floor(firstTime / PIECE_MS) * PIECE_MS);
      for (; start < end; start += PIECE_MS) {
        const rows = rowsOf(readings.thinned(station, start, Math.min(start + PIECE_MS, end)));
        if (rows.length > 0) yield columnsOf(COLUMNS).map((_, index) => rows.map((row) => row[index] ?? null));
      }
    }
  };
  return { columns: columnsOf(COLUMNS), blocks: { [Symbol.iterator]: blocks } };
}

function rowsOf({ station, times, spanMs, columns }: ReturnType<Store['readings']['thinned']>): TableCell[][] {
  return [...times].flatMap((time, row) =>
    CHANNELS.flatMap(({ name, canonical }): TableCell[][] => {
      const column = columns[name];
      if (column === undefined || column.count[row] === 0) return [];
      const told = [column.min[row]!, column.mean[row]!, column.max[row]!, column.count[row]!];
      // A lone dash is no unit, and a spreadsheet takes it for a formula.
      const unit = canonical === '-' ? null : canonical;
      return [[time, station, spanMs[row]! / 60_000, name, unit, ...told]];
    }),
  );
}
