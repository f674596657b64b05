import { ByteWriter, ParquetWriter, schemaFromColumnData } from 'hyparquet-writer';
import type { ExportTable, TableCell, TableColumn } from './table.ts';

const TYPES = { text: 'STRING', number: 'DOUBLE', time: 'TIMESTAMP', boolean: 'BOOLEAN' } as const;

const source = ({ name, kind }: TableColumn, cells: readonly TableCell[]) => ({
  ...{ name, type: TYPES[kind], nullable: true },
  data: kind === 'time' ? cells.map((cell) => (cell === null ? null : new Date(Number(cell)))) : [...cells],
});

/**
 * A table as Apache Parquet, piece by piece, a row group a block: text as UTF-8, numbers as doubles, times as UTC timestamps in ms,
 * null for nothing.
 */
export function* tableParquet({ columns, blocks }: ExportTable): Generator<Uint8Array> {
  const writer = new ByteWriter();
  const parquet = new ParquetWriter({
    writer,
    schema: schemaFromColumnData({ columnData: columns.map((column) => source(column, [])) }),
    createdBy: 'driftline',
  });
  const taken = (): Uint8Array => {
    const bytes = new Uint8Array(writer.buffer, 0, writer.index).slice();
    // The writer goes on counting; only what has left is forgotten.
    writer.index = 0;
    return bytes;
  };
  for (const block of blocks) {
    const columnData = columns.map((column, index) => source(column, block[index] ?? []));
    void parquet.write({ columnData, rowGroupSize: Number.MAX_SAFE_INTEGER });
    yield taken();
  }
  void parquet.finish();
  yield taken();
}
