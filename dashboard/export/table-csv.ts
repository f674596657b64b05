import { formatTime } from '../../collector/contract/index.ts';
import { csvText } from '../server/csv-text.ts';
import type { ExportTable } from './table.ts';

/** A table as CSV (RFC 4180), piece by piece: times as `YYYY-MM-DDTHH:MM:SS.sssZ`, an empty cell for nothing. */
export function* tableCsv({ columns, blocks }: ExportTable): Generator<string> {
  yield csvText(
    columns.map(({ name }) => name),
    [],
  );
  for (const block of blocks) {
    const length = block[0]?.length ?? 0;
    const rows = Array.from({ length }, (_, row) =>
      columns.map(({ kind }, index) => {
        const cell = block[index]?.[row] ?? null;
        if (cell === null) return null;
        if (kind === 'time') return formatTime(Number(cell));
        return typeof cell === 'boolean' ? String(cell) : cell;
      }),
    );
    const [first = [], ...rest] = rows;
    // csvText begins with a heading, which the rows after the first block have none of.
    if (length > 0) yield csvText([], [first, ...rest]).replace(/^\r\n/, '');
  }
}
