import { parse } from 'csv-parse/sync';
import fc from 'fast-check';
import { parquetReadObjects } from 'hyparquet';
import { expect, test } from 'vitest';
import { type ColumnKind, type ExportTable, type TableCell, tableOfRows } from '../../../dashboard/export/table.ts';
import { tableCsv } from '../../../dashboard/export/table-csv.ts';
import { tableParquet } from '../../../dashboard/export/table-parquet.ts';

const NAMES = 'word:text amount:number at:time yes:boolean';
const cells: Readonly<Record<ColumnKind, fc.Arbitrary<TableCell>>> = {
  text: fc.oneof(fc.constant(null), fc.constantFrom('plain', 'with, comma', 'with "quote"', 'zwei\nZeilen', 'Ö ü €')),
  number: fc.oneof(fc.constant(null), fc.double({ noNaN: true, noDefaultInfinity: true })),
  time: fc.oneof(fc.constant(null), fc.integer({ min: 946_684_800_000, max: 4_102_444_800_000 })),
  boolean: fc.oneof(fc.constant(null), fc.boolean()),
};
const row = fc.tuple(cells.text, cells.number, cells.time, cells.boolean);

async function parquetRows(table: ExportTable): Promise<Record<string, unknown>[]> {
  const bytes = Buffer.concat([...tableParquet(table)]);
  const file = bytes.buffer.slice(bytes.byteOffset, bytes.byteOffset + bytes.length) as ArrayBuffer;
  return (await parquetReadObjects({ file })) as Record<string, unknown>[];
}

test('Parquet, read by another library, holds every cell of every block', async () => {
  await fc.assert(
    fc.asyncProperty(fc.array(fc.array(row, { maxLength: 20 }), { maxLength: 4 }), async (blocks) => {
      const whole = tableOfRows(NAMES, blocks.flat());
      const table = {
        ...whole,
        blocks: blocks.filter((one) => one.length > 0).flatMap((one) => [...tableOfRows(NAMES, one).blocks]),
      };
      const read = await parquetRows(table);
      const expected = blocks.flat().map(([word, amount, at, yes]) => ({
        ...{ word, amount, yes },
        at: at === null ? null : new Date(Number(at)),
      }));
      expect(read).toEqual(expected);
    }),
    { numRuns: 60 },
  );
});

test('CSV, read by another library, holds the same, times in UTC, nothing as an empty cell', () => {
  const table = tableOfRows(NAMES, [
    ['with, "comma"', 0.1 + 0.2, Date.UTC(2026, 2, 2, 9, 10), true],
    [null, -0, null, false],
    ['=cmd()', 1e21, null, null],
  ]);
  expect(parse([...tableCsv(table)].join(''))).toEqual([
    ['word', 'amount', 'at', 'yes'],
    ['with, "comma"', '0.30000000000000004', '2026-03-02T09:10:00.000Z', 'true'],
    ['', '0', '', 'false'],
    ["'=cmd()", '1e+21', '', ''],
  ]);
});

test('a table without rows has its heading in both', async () => {
  const table = tableOfRows(NAMES, []);
  expect([...tableCsv(table)].join('')).toBe('word,amount,at,yes\r\n');
  expect(await parquetRows(table)).toEqual([]);
});
