import { cpSync } from 'node:fs';
import { join } from 'node:path';
import Database from 'better-sqlite3';
import { expect, test } from 'vitest';
import { backupStore } from '../../../collector/store/backup.ts';
import { compactStore } from '../../../collector/store/compact.ts';
import { openStore } from '../../../collector/store/embedded.ts';
import { runColumns } from '../../../collector/store/run-table.ts';
import { verifyStore } from '../../../collector/store/verify.ts';
import { startWriter } from '../../../collector/store/writer.ts';
import { tempDir } from './temp-dir.ts';

const START = Date.parse('2026-03-02T08:00:00Z');
const MINUTE_MS = 60_000;
const DAY_MS = 86_400_000;
const EVER = Number.MAX_SAFE_INTEGER;
const SUMS = 'found the checksum [0-9a-f]{8}, expected [0-9a-f]{8}';

/** A run a minute. */
function runs(gun: string, from: number, count: number) {
  const columns = runColumns(count);
  for (let row = 0; row < count; row++) {
    columns.start[row] = START + (from + row) * MINUTE_MS;
    columns.end[row] = columns.start[row]! + 20_000;
    columns.output[row] = 150 + (row % 7);
  }
  return { gun, length: count, columns, powders: [] };
}

/** Changes the last byte of a body. */
function change(dir: string, table: 'run_chunk' | 'thinned' | 'chunk', nth: number): void {
  const database = new Database(join(dir, 'driftline.db'));
  const keys = database.prepare(`SELECT key FROM ${table} ORDER BY key`).pluck().safeIntegers().all() as bigint[];
  const body = database.prepare(`SELECT body FROM ${table} WHERE key = ?`).pluck().get(keys[nth]!) as Buffer;
  body[body.length - 1]! ^= 0x10;
  database.prepare(`UPDATE ${table} SET body = ? WHERE key = ?`).run(body, keys[nth]!);
  database.close();
}

/** Three chunks of runs of gun-01, the second of them damaged, and some of gun-02. */
async function damagedRuns(): Promise<string> {
  const dir = join(tempDir(), 'data');
  await (await startWriter(dir)).stop();
  const store = openStore(dir);
  store.runs.replace('gun-01', 0, runs('gun-01', 0, 2500));
  store.runs.replace('gun-02', 0, runs('gun-02', 0, 10));
  store.close();
  change(dir, 'run_chunk', 1);
  return dir;
}

const [FROM, TO] = [START + 1024 * MINUTE_MS, START + 2047 * MINUTE_MS];
const WORDS = new RegExp(
  `^spray runs of gun-01 from 2026-03-03T01:04:00.000Z to 2026-03-03T18:07:00.000Z are damaged \\(runs ${FROM} of gun-01: ${SUMS}`,
);

test('a damaged chunk of runs is missing, and told of; all other runs of its gun and of others are read', async () => {
  const dir = await damagedRuns();
  expect(verifyStore(dir)).toMatchObject({ faults: [expect.stringMatching(WORDS)], runs: 2500 - 1024 + 10 });
  const store = openStore(dir);
  expect(store.runs.load('gun-02').length).toBe(10);
  expect(store.runs.load('gun-01', 0, FROM).length).toBe(1024);
  expect(store.runs.damaged()).toEqual([]);
  expect(store.runs.load('gun-01').length).toBe(2500 - 1024);
  expect(store.runs.span('gun-01')).toEqual({ from: START, to: START + 2499 * MINUTE_MS + 20_000 });
  expect(store.runs.damaged('gun-01')).toMatchObject([{ kind: 'spray runs', station: 'gun-01', from: FROM, to: TO }]);
  expect(store.runs.damaged('gun-01', 0, FROM)).toEqual([]);
  expect(store.runs.damaged('gun-02')).toEqual([]);
  expect(store.readings.damaged()).toEqual([]);
  store.close();
});

test('the writer sets damaged runs aside that a reader has met; a backup is made and says the same', async () => {
  const dir = await damagedRuns();
  const store = openStore(dir);
  store.runs.load('gun-01');
  const told: string[] = [];
  await (await startWriter(dir, { onDamaged: (sentence) => told.push(sentence) })).stop();
  expect(told).toEqual([expect.stringMatching(WORDS)]);
  expect(verifyStore(dir)).toMatchObject({ faults: [], setAside: told, runs: 2500 - 1024 + 10 });
  expect(backupStore(dir, join(tempDir(), 'backup.db')).verified.setAside).toEqual(told);
  // Found anew from there on, as the analysis does where the readings are left: nothing is missing any more.
  store.runs.replace('gun-01', FROM, runs('gun-01', 1024, 1476));
  expect(store.runs.load('gun-01').length).toBe(2500);
  expect(store.runs.damaged()).toEqual([]);
  store.close();
  expect(verifyStore(dir)).toMatchObject({ faults: [], setAside: [], runs: 2510 });
});

test('new runs behind a damaged chunk are kept, and what of it is found anew is no longer missing', async () => {
  const dir = await damagedRuns();
  const store = openStore(dir);
  store.runs.replace('gun-01', START + 1500 * MINUTE_MS, runs('gun-01', 1500, 1100));
  expect(store.runs.load('gun-01').length).toBe(1024 + 1100);
  expect(store.runs.damaged()).toMatchObject([{ from: FROM, to: START + 1500 * MINUTE_MS - 1 }]);
  store.close();
  expect(compactStore(dir).frames).toBe(0);
  expect(verifyStore(dir)).toMatchObject({
    faults: [],
    setAside: [expect.stringMatching(/^spray runs of gun-01 from/)],
  });
});

const pack = (station: string, from: number, count: number) => ({
  station,
  times: Array.from({ length: count }, (_, i) => from + 60_000 * i),
  channels: Array.from({ length: count }, () => 0),
  values: Array.from({ length: count }, (_, i) => 1 + (i % 9) / 10),
  strings: [],
  provenance: '',
});

test('a damaged thinned day takes no other day with it, nor readings that are left as they came', async () => {
  const dir = join(tempDir(), 'data');
  const midnight = Date.parse('2026-03-02T00:00:00Z');
  const writer = await startWriter(dir);
  await writer.commit({ packs: [pack('gun-01', midnight, 3 * 1440)] });
  await writer.settle();
  await writer.commit({ packs: [pack('gun-02', midnight, 8 * 1440)] });
  await writer.settle();
  await writer.retain({ rawDays: 5, thinnedDays: 0, runsDays: 0, thinnedMinutes: 10 }, midnight + 8 * DAY_MS);
  await writer.stop();
  change(dir, 'thinned', 1);
  const unmet = join(tempDir(), 'unmet');
  cpSync(dir, unmet, { recursive: true });
  const words = /^thinned readings of gun-01 from 2026-03-03T00:00:00.000Z to .* are damaged \(thinned day/;
  expect(verifyStore(dir).faults).toEqual([expect.stringMatching(words)]);
  const strict = openStore(dir);
  for (const read of [
    () => strict.readings.minutes('gun-01', 0, EVER),
    () => strict.readings.thinned('gun-01', 0, EVER),
  ])
    expect(read).toThrow(expect.objectContaining({ code: 'READINGS_DAMAGED', message: expect.stringMatching(words) }));
  expect(strict.readings.thinned('gun-01', 0, midnight + DAY_MS).times).toHaveLength(144);
  expect(strict.readings.thinned('gun-02', 0, EVER).times.length).toBeGreaterThan(200);
  // Readings that are left as they came are not of it.
  expect(() => strict.readings.frames('gun-01', 0, EVER)).not.toThrow();
  strict.close();
  const lenient = openStore(dir, { leaveOutDamaged: true });
  const left = lenient.readings.thinned('gun-01', 0, EVER).times;
  expect(left.every((time) => time < midnight + DAY_MS || time >= midnight + 2 * DAY_MS)).toBe(true);
  expect(lenient.readings.damaged()).toMatchObject([{ kind: 'thinned readings', from: midnight + DAY_MS }]);
  lenient.close();
  const again = await startWriter(dir, { onDamaged: () => undefined });
  await again.stop();
  expect(verifyStore(dir)).toMatchObject({ faults: [], setAside: [expect.stringMatching(words)] });
  // Compaction reads all, and so needs nobody who has met it.
  compactStore(unmet);
  expect(verifyStore(unmet)).toMatchObject({ faults: [], setAside: [expect.stringMatching(words)] });
});

test('damage whose readings came again is settled by a person, on record, and taken back', async () => {
  const dir = join(tempDir(), 'data');
  const writer = await startWriter(dir);
  await writer.commit({ packs: [pack('gun-01', START, 2000)] });
  await writer.settle();
  await writer.stop();
  change(dir, 'chunk', 1);
  const met = openStore(dir, { leaveOutDamaged: true });
  met.readings.frames('gun-01', 0, EVER);
  const word = { at: START, who: 'anna', why: 'imported from the backup of Sunday' };
  expect(() => met.damage.settle(1, word)).toThrow(/damage 1 \(chunk .* still lies where it was/);
  expect(() => met.damage.settle(7, word)).toThrow(/no damage has the number 7/);
  met.close();
  const again = await startWriter(dir, { onDamaged: () => undefined });
  await again.commit({ packs: [pack('gun-01', START, 2000)] });
  await again.settle();
  await again.stop();
  const store = openStore(dir);
  expect(() => store.readings.frames('gun-01', 0, EVER)).toThrow(/are damaged/);
  expect(store.damage.settle(1, word)).toMatchObject({ id: 1, settled: word });
  expect(() => store.damage.settle(1, word)).toThrow(/is settled already, by anna/);
  expect(store.readings.frames('gun-01', 0, EVER).times).toHaveLength(2000);
  expect(store.readings.damaged()).toEqual([]);
  expect(verifyStore(dir)).toMatchObject({ faults: [], setAside: [] });
  expect(store.damage.list()).toMatchObject([{ id: 1, kind: 'readings', settled: word }]);
  store.damage.reopen(1);
  expect(() => store.readings.frames('gun-01', 0, EVER)).toThrow(/are damaged/);
  expect(() => store.damage.reopen(1)).toThrow(/is not settled/);
  store.close();
});
