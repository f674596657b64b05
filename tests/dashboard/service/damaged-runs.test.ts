import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import Database from 'better-sqlite3';
import { afterAll, expect, test } from 'vitest';
import { OperationConfig } from '../../../collector/config.ts';
import { CHANNEL_NAMES, Plant, RUN_FIELDS, Settings } from '../../../collector/contract/index.ts';
import { openStore, startWriter } from '../../../collector/index.ts';
import { startService } from '../../../dashboard/service/run-service.ts';

const START = Date.parse('2026-03-02T08:00:00Z');
/** More than a chunk of runs, and a state that was kept twelve hours later. */
const PULLS = 1900;
const dir = mkdtempSync(join(tmpdir(), 'driftline-damaged-runs-'));
afterAll(() => rmSync(dir, { recursive: true, force: true }));

/** Trigger pulls of 20 s with as much between them, read every two seconds. */
function pulls(station: string, count: number) {
  const times: number[] = [];
  const channels: number[] = [];
  const values: number[] = [];
  const add = (time: number, channel: (typeof CHANNEL_NAMES)[number], value: number): void => {
    times.push(time);
    channels.push(CHANNEL_NAMES.indexOf(channel));
    values.push(value);
  };
  for (let second = 0; second < count * 40; second += 2) {
    const on = second % 40 < 20;
    const time = START + second * 1000;
    add(time, 'conveying/pressure', 1.6 + (second % 7) / 100);
    add(time, 'conveying/flow', on ? 2.4 : 0);
    add(time, 'powder/output', on ? 150 : 0);
    add(time, 'trigger', on ? 1 : 0);
  }
  return { station, times, channels, values, strings: [], provenance: '' };
}

const start = () =>
  startService({
    plant: Plant.parse({ site: { id: 'hall-2', timezone: 'UTC' }, guns: [{ id: 'gun-01' }, { id: 'gun-02' }] }),
    dir,
    settings: Settings.parse({}),
    config: OperationConfig.parse({ broker: { port: 0 }, http: { port: 0 } }),
    log: { info: () => undefined, warn: () => undefined, error: () => undefined },
  });

function runsOf(gun: string): unknown {
  const store = openStore(dir);
  try {
    const { length, columns } = store.runs.load(gun);
    return { length, columns: RUN_FIELDS.map((field) => [...columns[field]]) };
  } finally {
    store.close();
  }
}

const damagedIn = async (url: string): Promise<unknown[]> => {
  const status = (await (await fetch(`${url}/api/status`)).json()) as { damaged: unknown[] };
  return status.damaged;
};

test('spray runs that were damaged are told of, and found anew from their readings at the next start', async () => {
  const writer = await startWriter(dir);
  await writer.commit({ packs: [pulls('gun-01', PULLS), pulls('gun-02', 40)] });
  await writer.stop();
  const first = await start();
  await expect
    .poll(() => (runsOf('gun-01') as { length: number }).length, { timeout: 50_000 })
    .toBeGreaterThan(PULLS - 2);
  await first.stop();
  const before = runsOf('gun-01');
  const database = new Database(join(dir, 'driftline.db'));
  const [row] = database
    .prepare(
      "SELECT key, body FROM run_chunk JOIN run_gun ON run_gun.id = key >> 43 WHERE name = 'gun-01' ORDER BY key",
    )
    .safeIntegers()
    .all() as { key: bigint; body: Buffer }[];
  row!.body[20]! ^= 1;
  database.prepare('UPDATE run_chunk SET body = ? WHERE key = ?').run(row!.body, row!.key);
  database.close();

  // Only those of the second chunk are left.
  expect((runsOf('gun-01') as { length: number }).length).toBeLessThan(PULLS - 1000);
  const store = openStore(dir);
  expect(store.runs.damaged()).toMatchObject([{ kind: 'spray runs', station: 'gun-01' }]);
  store.close();
  const second = await start();
  try {
    await expect.poll(() => runsOf('gun-01'), { timeout: 50_000 }).toEqual(before);
    await expect.poll(() => damagedIn(second.httpUrl), { timeout: 5000 }).toEqual([]);
  } finally {
    await second.stop();
  }
}, 120_000);
