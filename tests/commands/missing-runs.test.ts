import { join } from 'node:path';
import Database from 'better-sqlite3';
import type { Command } from 'commander';
import { expect, test } from 'vitest';
import { Plant } from '../../collector/contract/index.ts';
import { openStore, startWriter } from '../../collector/index.ts';
import { runColumns } from '../../collector/store/run-table.ts';
import { addCost } from '../../commands/cost.ts';
import { addExport } from '../../commands/export.ts';
import { addLife } from '../../commands/life.ts';
import { addPlan } from '../../commands/plan.ts';
import { recordPlant } from '../../dashboard/service/plant-record.ts';
import { tempDir } from '../collector/store/temp-dir.ts';
import { remarks } from './remarks.ts';

const START = Date.parse('2026-03-02T08:00:00Z');
const MINUTE_MS = 60_000;
const PULLS = 1500;
/** Starts of the first and of the last pull of the first chunk, which has 1 024. */
const SAID =
  'without some spray runs: those of Booth 1 left from 2026-03-02T08:00:00.000Z to 2026-03-03T01:03:00.000Z are damaged on the disk\n';

/** A folder whose gun has a pull a minute; where wanted the first chunk of them is damaged, and the service has met it. */
async function folder(damaged: boolean): Promise<string> {
  const dir = join(tempDir(), 'data');
  const store = openStore(dir, { create: true });
  const guns = [{ id: 'gun-01', name: 'Booth 1 left' }];
  recordPlant(store, Plant.parse({ site: { id: 'hall-2', timezone: 'Europe/Vienna' }, guns }));
  const columns = runColumns(PULLS);
  for (let row = 0; row < PULLS; row++) {
    columns.start[row] = START + row * MINUTE_MS;
    columns.end[row] = columns.start[row]! + 20_000;
    columns.output[row] = 150;
  }
  store.runs.replace('gun-01', 0, { gun: 'gun-01', length: PULLS, columns, powders: [] });
  store.close();
  if (!damaged) return dir;
  const database = new Database(join(dir, 'driftline.db'));
  const [first] = database.prepare('SELECT key, body FROM run_chunk ORDER BY key').safeIntegers().all() as {
    key: bigint;
    body: Buffer;
  }[];
  first!.body[first!.body.length - 1]! ^= 0x10;
  database.prepare('UPDATE run_chunk SET body = ? WHERE key = ?').run(first!.body, first!.key);
  database.close();
  const reader = openStore(dir);
  reader.runs.load('gun-01');
  await (await startWriter(dir)).stop();
  reader.close();
  return dir;
}

const asked: [string, (program: Command) => void, string[]][] = [
  ['parts', addPlan, ['parts']],
  ['what is due', addPlan, ['plan', 'due']],
  ['the calendar', addPlan, ['plan', 'calendar']],
  ['lives', addLife, ['life']],
  ['costs', addCost, ['cost', 'list', '--from', '2026-03', '--to', '2026-03']],
  ['parts that go out', addExport, ['export', 'parts']],
];

test.each(asked)('beside %s stands which spray runs they are without', async (_, add, words) => {
  const of = async (damaged: boolean): Promise<string> =>
    (await remarks(add, ...words, '--data', await folder(damaged))).text;
  expect(await of(true)).toContain(SAID);
  expect(await of(false)).not.toContain('without some spray runs');
});
