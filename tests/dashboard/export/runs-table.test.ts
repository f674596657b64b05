import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { parse } from 'csv-parse/sync';
import { expect, onTestFinished, test } from 'vitest';
import { openStore } from '../../../collector/index.ts';
import { runColumns } from '../../../collector/store/run-table.ts';
import { runsTable } from '../../../dashboard/export/readings-table.ts';
import { tableCsv } from '../../../dashboard/export/table-csv.ts';

test('runs go out with the id of their powder and, last, its name in the plant file', () => {
  const folder = mkdtempSync(join(tmpdir(), 'driftline-runs-'));
  const store = openStore(folder, { create: true });
  onTestFinished(() => {
    store.close();
    rmSync(folder, { recursive: true, force: true });
  });
  const columns = runColumns(3);
  columns.start.set([1, 2, 3].map((minute) => Date.UTC(2026, 2, 2, 9, minute)));
  columns.end.set(columns.start.map((start) => start + 20_000));
  columns.powder.set([0, 1, -1]);
  store.runs.replace('gun-01', 0, { gun: 'gun-01', length: 3, columns, powders: ['p-white-07', 'p-new'] });
  const plant = { powders: [{ id: 'p-white-07', name: 'White polyester fine' }] };
  const csv = [...tableCsv(runsTable({ store, plant }, { from: null, to: null }, null))].join('');
  const rows = parse(csv, { columns: true }) as Record<string, string>[];
  expect(rows.map(({ powder, powderName }) => [powder, powderName])).toEqual([
    ['p-white-07', 'White polyester fine'],
    ['p-new', ''],
    ['', ''],
  ]);
  expect(csv.split('\r\n')[0]!.endsWith(',powderName')).toBe(true);
});
