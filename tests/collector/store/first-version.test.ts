import { mkdirSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { gunzipSync } from 'node:zlib';
import Database from 'better-sqlite3';
import { expect, test } from 'vitest';
import { backupStore, restoreStore } from '../../../collector/store/backup.ts';
import { openStore } from '../../../collector/store/embedded.ts';
import { MIGRATIONS } from '../../../collector/store/migrations.ts';
import { takeServiceLock } from '../../../collector/store/service-lock.ts';
import { verifyStore } from '../../../collector/store/verify.ts';
import { startWriter } from '../../../collector/store/writer.ts';
import { tempDir } from './temp-dir.ts';

// Made by the code of the store's first version, from the repository's history: two guns at 1 Hz, some of it in chunks,
// some in the tail, two instants repeated with another flow; a refusal, states, two runs, a finding, a log entry.
const FIXTURE = fileURLToPath(new URL('./fixtures/store-v1.db.gz', import.meta.url));
const START = 1_760_000_000_000;

function firstVersion(): string {
  const dir = join(tempDir(), 'data');
  mkdirSync(dir);
  writeFileSync(join(dir, 'driftline.db'), gunzipSync(readFileSync(FIXTURE)));
  return dir;
}

test('a store of the first version is brought up to date with all that it holds', async () => {
  const dir = firstVersion();
  const store = openStore(dir);
  expect(store.stats().schemaVersion).toBe(MIGRATIONS.length);
  const frames = store.readings.frames('gun-01', 0, Number.MAX_SAFE_INTEGER);
  expect(frames.times).toHaveLength(630);
  expect(frames.columns['conveying/flow']?.[0]).toBe(2.4);
  expect(frames.strings).toEqual(['p-white-07']);
  expect(store.readings.counts('gun-01')).toMatchObject({
    frames: 630,
    readings: 2521,
    duplicates: { 'conveying/pressure': 2, 'powder/output': 2, trigger: 2 },
    conflicts: { 'conveying/flow': 2 },
  });
  expect(store.runs.load('gun-01').length).toBe(2);
  expect(store.log.list()).toMatchObject([{ part: 'pump-insert', action: 'replaced', note: 'first' }]);
  expect(store.findings.list()).toHaveLength(1);
  expect(store.journal.list()).toHaveLength(1);
  expect(store.quarantine.list()).toMatchObject([{ reason: 'unknown-station' }]);
  expect(store.broker.online()).toEqual([{ station: 'gun-01', online: true, at: START }]);
  expect(store.settings.list()).toHaveLength(1);
  store.close();
  const writer = await startWriter(dir);
  await writer.commit({
    packs: [{ station: 'gun-01', times: [START + 700_000], channels: [0], values: [1.6], strings: [], provenance: '' }],
  });
  await writer.settle();
  await writer.stop();
  const verified = verifyStore(dir);
  expect(verified.faults).toEqual([]);
  expect(verified.stations).toMatchObject([
    { station: 'gun-01', frames: 631 },
    { station: 'gun-02', frames: 300 },
  ]);
});

test('an older store is not changed under a service that runs on it', () => {
  const dir = firstVersion();
  const lock = takeServiceLock(dir);
  expect(() => openStore(dir)).toThrow(/another driftline service is running/);
  lock.release();
  const database = new Database(join(dir, 'driftline.db'), { readonly: true });
  expect(database.pragma('user_version', { simple: true })).toBe(1);
  database.close();
});

test('a store of the first version is checked, backed up and restored as it is', async () => {
  const dir = firstVersion();
  expect(verifyStore(dir)).toMatchObject({
    faults: [],
    withoutChecksum: expect.toSatisfy((count: number) => count > 2),
  });
  const out = join(tempDir(), 'backup.db');
  expect(backupStore(dir, out).verified.schemaVersion).toBe(1);
  const restored = join(tempDir(), 'new', 'data');
  await restoreStore(out, restored);
  const store = openStore(restored);
  expect(store.readings.frames('gun-02', 0, Number.MAX_SAFE_INTEGER).times).toHaveLength(300);
  store.close();
});
