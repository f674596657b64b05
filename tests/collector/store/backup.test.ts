import { copyFileSync, existsSync, readdirSync, readFileSync, rmSync, truncateSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import Database from 'better-sqlite3';
import { expect, test } from 'vitest';
import { RUN_FIELDS, type RunField } from '../../../collector/contract/runs.ts';
import { backupStore, restoreStore } from '../../../collector/store/backup.ts';
import { crc32 } from '../../../collector/store/crc32.ts';
import { damagedIn } from '../../../collector/store/damage.ts';
import { openStore } from '../../../collector/store/embedded.ts';
import { verifyStore } from '../../../collector/store/verify.ts';
import { startWriter } from '../../../collector/store/writer.ts';
import { tempDir } from './temp-dir.ts';

const START = 1_760_000_000_000;
const pack = (second: number, count = 100) => ({
  station: 'gun-01',
  times: Array.from({ length: count }, (_, i) => START + 1000 * (second + i)),
  channels: Array.from({ length: count }, () => 0),
  values: Array.from({ length: count }, (_, i) => 1 + (i % 9) / 10),
  strings: [],
  provenance: '',
});

test('a backup while readings are committed holds whole commits, and the restored store goes on', async () => {
  const dir = join(tempDir(), 'data');
  const writer = await startWriter(dir, { tailBytes: 4096 });
  let committed = 0;
  const commits = Array.from({ length: 60 }, async (_, index) => {
    await writer.commit({ packs: [pack(100 * index)] });
    committed++;
  });
  await commits[0];
  const before = committed;
  const out = join(tempDir(), 'backup.db');
  const { verified } = backupStore(dir, out);
  await Promise.all(commits);
  await writer.stop();
  const frames = verified.stations[0]?.frames ?? 0;
  expect(frames % 100).toBe(0);
  expect(frames).toBeGreaterThanOrEqual(100 * before);
  const copy = join(tempDir(), 'copy');
  await restoreStore(out, copy);
  const again = await startWriter(copy);
  await again.commit({ packs: [pack(100 * 60)] });
  await again.stop();
  expect(verifyStore(copy)).toMatchObject({ faults: [], stations: [{ frames: frames + 100 }] });
});

test('neither a backup nor a store is ever overwritten', async () => {
  const dir = tempDir();
  openStore(dir, { create: true }).close();
  const out = join(tempDir(), 'backup.db');
  writeFileSync(out, 'mine');
  expect(() => backupStore(dir, out)).toThrow(/is there already/);
  expect(readFileSync(out, 'utf8')).toBe('mine');
  const good = join(tempDir(), 'backup.db');
  backupStore(dir, good);
  await expect(restoreStore(good, dir)).rejects.toMatchObject({
    code: 'USAGE',
    message: expect.stringMatching(/^--data .* holds a store already; nothing was overwritten/),
  });
});

test('what is no folder is told as that, and what keeps a backup from being written of the backup', async () => {
  const dir = tempDir();
  openStore(dir, { create: true }).close();
  const file = join(tempDir(), 'file');
  writeFileSync(file, 'mine');
  for (const open of [() => openStore(file, { create: true }), () => openStore(join(file, 'in'), { create: true })])
    expect(open).toThrow(
      expect.objectContaining({ code: 'STORE_UNUSABLE', message: `${file}: found a file, expected a folder` }),
    );
  expect(() => verifyStore(file)).toThrow(expect.objectContaining({ code: 'USAGE' }));
  expect(() => backupStore(dir, join(file, 'none', 'b.db'))).toThrow(
    /^--out .*b\.db: found no folder .*none, expected one$/,
  );
  // A name that is longer than names may be stands for whatever else the file system has against it.
  expect(() => backupStore(dir, join(tempDir(), 'x'.repeat(300)))).toThrow(/^--out /);
});

test('a backup that is cut, or no backup at all, is refused and leaves nothing behind', async () => {
  const dir = join(tempDir(), 'data');
  const writer = await startWriter(dir);
  await writer.commit({ packs: [pack(0, 5000)] });
  await writer.settle();
  await writer.stop();
  const out = join(tempDir(), 'backup.db');
  const { bytes } = backupStore(dir, out);
  truncateSync(out, bytes - 8192);
  const target = join(tempDir(), 'data');
  // The file that was given is named, and the status is that of arguments that cannot be used.
  const refused = {
    code: 'USAGE',
    message: expect.stringMatching(/^--from .*backup\.db: is damaged.*give another backup$/),
  };
  await expect(restoreStore(out, target)).rejects.toMatchObject(refused);
  writeFileSync(out, 'some text that is no database at all, though long enough to look at');
  await expect(restoreStore(out, target)).rejects.toThrow(/no SQLite database/);
  const foreign = join(tempDir(), 'foreign.db');
  new Database(foreign).exec('CREATE TABLE x (y)').close();
  await expect(restoreStore(foreign, target)).rejects.toThrow(/another program/);
  await expect(restoreStore(join(target, 'none.db'), target)).rejects.toThrow(/no such file/);
  await expect(restoreStore(tempDir(), target)).rejects.toMatchObject({
    code: 'USAGE',
    message: expect.stringContaining('found no file, expected a backup'),
  });
  // Nor the folders that were made for it, nor the lock; one that was there stays, as it was.
  expect(existsSync(target)).toBe(false);
  await expect(restoreStore(out, join(target, 'inner'))).rejects.toThrow(/no SQLite database/);
  expect(existsSync(target)).toBe(false);
  const mine = tempDir();
  writeFileSync(join(mine, 'notes.txt'), 'mine');
  await expect(restoreStore(out, mine)).rejects.toThrow(/no SQLite database/);
  expect(readdirSync(mine)).toEqual(['notes.txt']);
});

test('a damaged chunk, a lost one and minutes that are wrong are each told of, and gaps too', async () => {
  const dir = join(tempDir(), 'data');
  const writer = await startWriter(dir);
  await writer.commit({ packs: [pack(0, 2000), pack(9000, 1000)] });
  await writer.settle();
  await writer.stop();
  const healthy = verifyStore(dir);
  expect(healthy.faults).toEqual([]);
  expect(healthy.stations[0]?.gaps).toEqual([{ from: START + 1_999_000, to: START + 9_000_000 }]);
  const database = new Database(join(dir, 'driftline.db'));
  const keys = database.prepare('SELECT key FROM chunk ORDER BY key').pluck().safeIntegers().all() as bigint[];
  database.prepare('UPDATE chunk SET body = zeroblob(40) WHERE key = ?').run(keys[0]);
  database.prepare('DELETE FROM chunk WHERE key = ?').run(keys[1]);
  database
    .prepare('UPDATE rollup SET body = (SELECT body FROM rollup WHERE key = ?) WHERE key = ?')
    .run(keys[3], keys[2]);
  database.close();
  const { faults } = verifyStore(dir);
  expect(faults.join('\n')).toMatch(/a chunk of readings in the store is damaged/);
  expect(faults.join('\n')).toMatch(/counts 3000 frames, but its chunks hold 2488/);
  expect(faults.join('\n')).toMatch(/its minutes do not agree with its frames/);
});

test('a pack of the tail that contradicts itself is told of, whatever was damaged', async () => {
  const dir = join(tempDir(), 'data');
  const writer = await startWriter(dir);
  await writer.commit({ packs: [pack(0, 2)] });
  await writer.stop();
  expect(verifyStore(dir).faults).toEqual([]);
  const database = new Database(join(dir, 'driftline.db'));
  const body = database.prepare('SELECT body FROM batch').pluck().get() as Buffer;
  // One byte, or two, behind the texts "gun-01" and "": head and body of the pack, as `batch.ts` describes them, and the checksum of that.
  for (const [at, byte, fault] of [
    [18, 9, 'names no station'],
    [26, 3, 'has other channels than its head says'],
    [30, 3, 'has 2 readings, expected 3'],
    [38, 1, 'has other times than its head says'],
    [54, 1, 'has other times than its head says'],
    // What follows is taken for a reading: the next one's time.
    [62, 9, 'has a reading of channel 28, which there is not'],
    [64, 99, 'has a reading of channel 99, which there is not'],
    [64, 1, 'has other channels than its head says'],
    [64, 12, 'has a value that cannot be'],
  ] as const) {
    const damaged = Buffer.from(body);
    damaged[at + 4] = byte;
    damaged.writeUInt32LE(crc32(damaged.subarray(5)), 1);
    database.prepare('UPDATE batch SET body = ?').run(damaged);
    expect(verifyStore(dir).faults[0], `byte ${at}`).toBe(`pack 1 of batch 1: ${fault}`);
  }
  database.close();
});

/** A store with something of all that readings and runs are kept as: tail, chunks, thinned days and runs. */
async function fullStore(): Promise<string> {
  const dir = join(tempDir(), 'data');
  const writer = await startWriter(dir);
  await writer.commit({ packs: [pack(0, 1200), pack(3 * 86_400, 1200)] });
  await writer.settle();
  const rules = { rawDays: 1, thinnedDays: 0, runsDays: 0, thinnedMinutes: 10 };
  await writer.retain(rules, START + 3.5 * 86_400_000);
  await writer.commit({ packs: [pack(4 * 86_400, 20)] });
  const store = openStore(dir);
  const columns = Object.fromEntries(
    RUN_FIELDS.map((field) => [field, Float64Array.of(field === 'start' ? START : 0)]),
  ) as Record<RunField, Float64Array>;
  store.runs.replace('gun-01', 0, { gun: 'gun-01', length: 1, columns, powders: ['p'] });
  store.close();
  await writer.stop();
  return dir;
}

test('a changed bit of whatever is kept of readings and runs is told of, with where and when', async () => {
  const dir = await fullStore();
  expect(verifyStore(dir)).toMatchObject({ faults: [], withoutChecksum: 0, batches: 1, runs: 1 });
  const database = new Database(join(dir, 'driftline.db'));
  const told = (table: string): Set<string> => {
    const [key, body] = database
      .prepare(`SELECT key, body FROM (SELECT rowid AS key, body FROM ${table})`)
      .raw()
      .get() as [number, Buffer];
    const write = database.prepare(`UPDATE ${table} SET body = ? WHERE rowid = ?`);
    const tellings = new Set<string>();
    for (let bit = 0; bit < 8 * body.length; bit += 1 + Math.floor(body.length / 8)) {
      const changed = Buffer.from(body);
      changed[bit >> 3]! ^= 1 << (bit & 7);
      write.run(changed, key);
      const { faults } = verifyStore(dir);
      expect(faults, `bit ${bit} of ${table}`).not.toEqual([]);
      tellings.add(faults[0]!.replace(/checksum [0-9a-f]{8}, expected [0-9a-f]{8}/, 'sums differ'));
    }
    write.run(body, key);
    return tellings;
  };
  const damaged = (what: string): string => `${what} in the store is damaged: found the sums differ; restore a backup`;
  expect(told('batch')).toContain(
    'readings of gun-01 from 2025-10-13T08:53:20.000Z to 2025-10-13T08:53:39.000Z are damaged (batch 2: found the sums differ)',
  );
  expect(told('chunk')).toContain(`chunk of gun-01 from 2025-10-09T09:10:24.000Z: ${damaged('a chunk of readings')}`);
  expect(told('rollup')).toContain(
    `chunk of gun-01 from 2025-10-09T09:10:24.000Z: ${damaged('its roll-up of minutes')}`,
  );
  expect(told('run_chunk')).toContain(
    'spray runs of gun-01 from 2025-10-09T08:53:20.000Z to 2025-10-09T08:53:20.000Z are damaged (runs 1760000000000 of gun-01: found the sums differ)',
  );
  expect([...told('thinned')]).toContainEqual(
    expect.stringMatching(
      /^thinned readings of gun-01 from 2025-10-09T00:00:00.000Z to .* are damaged \(thinned day 1759968000000 of gun-01: found the sums differ\)$/,
    ),
  );
  expect(verifyStore(dir).faults).toEqual([]);
  database.close();
});

test('damage that nobody has met is set aside in the copy, whatever it is of, and noted in the store for its next start', async () => {
  const dir = await fullStore();
  const healthy = verifyStore(dir);
  const database = new Database(join(dir, 'driftline.db'));
  for (const table of ['batch', 'chunk', 'run_chunk', 'thinned'])
    database
      .prepare(`UPDATE ${table} SET body = ? WHERE rowid = (SELECT min(rowid) FROM ${table})`)
      .run(flipped(database.prepare(`SELECT body FROM ${table} ORDER BY rowid LIMIT 1`).pluck().get() as Buffer));
  // Minutes of a chunk that is whole are reckoned anew: nothing is missing with them.
  const last = 'WHERE rowid = (SELECT max(rowid) FROM rollup)';
  database
    .prepare(`UPDATE rollup SET body = ? ${last}`)
    .run(flipped(database.prepare(`SELECT body FROM rollup ${last}`).pluck().get() as Buffer));
  database.close();
  const out = join(tempDir(), 'backup.db');
  const { verified } = backupStore(dir, out);
  expect(verified.faults).toEqual([]);
  expect(verified.setAside.toSorted().map((told) => told.replace(/ of gun-01 from .*/, ''))).toEqual([
    'readings',
    'readings',
    'spray runs',
    'thinned readings',
  ]);
  expect(verified.chunks).toBe(healthy.chunks - 1);
  expect(readdirSync(join(out, '..'))).toEqual(['backup.db']);
  const store = openStore(dir);
  expect(damagedIn(store).map(({ kind }) => kind)).toHaveLength(4);
  store.close();
  // The store still has all as it was; its next writer sets the same aside.
  await (await startWriter(dir)).stop();
  // The number of the newest batch, which was one of them, is not taken for a lost commit, nor given again.
  const troubles: string[] = [];
  const next = await startWriter(dir, { onLost: (sentence) => troubles.push(sentence) });
  expect((await next.commit({ packs: [pack(5 * 86_400)] })).seq).toBe(healthy.batches + 2);
  await next.stop();
  expect(troubles).toEqual([]);
  // Minutes that are damaged are read from their frames until they are packed anew.
  expect(verifyStore(dir)).toMatchObject({
    faults: [expect.stringContaining('its roll-up of minutes')],
    setAside: expect.arrayContaining([...verified.setAside]),
  });
  const copy = join(tempDir(), 'copy');
  await restoreStore(out, copy);
  expect(verifyStore(copy)).toMatchObject({ faults: [], setAside: verified.setAside });
});

test('a damaged store of an earlier version is not copied, and what to do is said', () => {
  const dir = tempDir();
  openStore(dir, { create: true }).close();
  const database = new Database(join(dir, 'driftline.db'));
  database.exec("INSERT INTO batch (seq, body) VALUES (1, x'000102')");
  database.pragma('user_version = 14');
  database.close();
  expect(() => backupStore(dir, join(tempDir(), 'backup.db'))).toThrow(
    /an earlier version \(14\): run “driftline compact” on it, or start its service, and then backup/,
  );
});

/** A body with one bit changed. */
function flipped(body: Buffer): Buffer {
  const changed = Buffer.from(body);
  changed[body.length >> 1]! ^= 1;
  return changed;
}

test('a log file that was taken away is told of, and once more by the next start', async () => {
  const dir = join(tempDir(), 'data');
  const writer = await startWriter(dir, { tailBytes: 1024 * 1024 });
  for (let i = 0; i < 3; i++) await writer.commit({ packs: [pack(100 * i)] });
  await writer.stop();
  expect(verifyStore(dir).faults).toEqual([]);
  // A process that was killed leaves its log; here a copy of both is what it left.
  const again = await startWriter(dir);
  const store = openStore(dir);
  for (let i = 3; i < 8; i++) await again.commit({ packs: [pack(100 * i)] });
  const left = tempDir();
  for (const name of ['driftline.db', 'driftline.db-wal']) copyFileSync(join(dir, name), join(left, name));
  store.close();
  await again.stop();
  copyFileSync(join(dir, 'last-commit'), join(left, 'last-commit'));
  const whole = tempDir();
  for (const name of readdirSync(left)) copyFileSync(join(left, name), join(whole, name));
  expect(verifyStore(whole).faults).toEqual([]);
  rmSync(join(left, 'driftline.db-wal'));
  expect(verifyStore(left).faults).toEqual([
    expect.stringMatching(/^5 commits of readings are missing.*number 8, the store ends at 3; its log file/),
  ]);
  const troubles: string[] = [];
  const next = await startWriter(left, { onLost: (sentence) => troubles.push(sentence) });
  await next.commit({ packs: [pack(5000)] });
  await next.stop();
  expect(troubles).toEqual([expect.stringContaining('5 commits of readings are missing')]);
  expect(verifyStore(left).faults).toEqual([]);
  // What is restored has its own count.
  const out = join(tempDir(), 'backup.db');
  backupStore(left, out);
  rmSync(join(left, 'driftline.db'));
  await restoreStore(out, left);
  expect(verifyStore(left).faults).toEqual([]);
});

test('what the long-term store has not got waits in the restored store too, and no more than that', async () => {
  const dir = join(tempDir(), 'data');
  const writer = await startWriter(dir);
  const store = openStore(dir);
  await writer.commit({ packs: [pack(0)] });
  await writer.settle();
  // In a chunk; then two batches in the tail, of which the first has been delivered.
  store.historian.begin('influx1 http://127.0.0.1:8086 driftline');
  const { seq } = await writer.commit({ packs: [pack(100)] });
  store.historian.sentTail(seq);
  await writer.commit({ packs: [pack(200)] });
  const out = join(tempDir(), 'backup.db');
  backupStore(dir, out);
  store.close();
  await writer.stop();
  const copy = join(tempDir(), 'copy');
  await restoreStore(out, copy);
  const again = await startWriter(copy);
  const restored = openStore(copy);
  // The same target goes on; another one would get everything anew.
  restored.historian.begin('influx1 http://127.0.0.1:8086 driftline');
  await again.commit({ packs: [pack(300)] });
  expect(restored.historian.nextSpan()).toMatchObject({ station: 'gun-01', from: START, to: START + 99_001 });
  const tail = restored.historian.nextOfTail()!;
  expect(tail.spans.map(({ from, to }) => [from - START, to - START])).toEqual([[200_000, 399_001]]);
  restored.close();
  await again.stop();
});
