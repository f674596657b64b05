import { execFileSync } from 'node:child_process';
import { mkdirSync, readFileSync, rmSync, statSync, symlinkSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import Database from 'better-sqlite3';
import { describe, expect, onTestFinished, test } from 'vitest';
import { compactStore, openStore, startWriter } from '../../../collector/index.ts';
import { MIGRATIONS } from '../../../collector/store/migrations.ts';
import { tempDir } from './temp-dir.ts';

const FILE = 'driftline.db';

function messageOf(body: () => unknown): string {
  try {
    body();
  } catch (error) {
    const { code, message } = error as { code: string; message: string };
    return `${code} ${message}`;
  }
  return 'no error';
}

describe('a folder that cannot be used is refused in one sentence', () => {
  test('without a store', () => {
    const dir = tempDir();
    expect(messageOf(() => openStore(dir))).toBe(
      `USAGE ${dir}: holds no store (driftline.db); expected the folder of a service`,
    );
  });

  test('with a store of a newer version, which stays as it was', () => {
    const dir = tempDir();
    openStore(dir, { create: true }).close();
    const newer = MIGRATIONS.length + 1;
    const database = new Database(join(dir, FILE));
    database.pragma(`user_version = ${newer}`);
    database.close();
    const before = readFileSync(join(dir, FILE));
    for (const create of [false, true])
      expect(messageOf(() => openStore(dir, { create }))).toBe(
        `STORE_UNUSABLE ${join(dir, FILE)}: was written by a newer driftline (store version ${newer}, this one knows up to ${newer - 1}); install that version or later`,
      );
    expect(readFileSync(join(dir, FILE)).equals(before)).toBe(true);
  });

  test('with a database of another program, which stays as it was', () => {
    const dir = tempDir();
    const database = new Database(join(dir, FILE));
    database.exec('CREATE TABLE invoice (id INTEGER)');
    database.close();
    const before = readFileSync(join(dir, FILE));
    expect(messageOf(() => openStore(dir, { create: true }))).toBe(
      `STORE_UNUSABLE ${join(dir, FILE)}: is a database of another program; give another folder`,
    );
    expect(readFileSync(join(dir, FILE)).equals(before)).toBe(true);
  });

  test('with a file that is no database', () => {
    const dir = tempDir();
    writeFileSync(join(dir, FILE), 'time,gun,conveying/pressure\n'.repeat(100));
    expect(messageOf(() => openStore(dir))).toBe(
      `STORE_UNUSABLE ${join(dir, FILE)}: is damaged or no SQLite database (file is not a database); restore it from a backup or give another folder`,
    );
  });

  test('with a database that is cut short', async () => {
    const dir = tempDir();
    const writer = await startWriter(dir);
    await writer.commit({ packs: [manyReadings('gun-01', 0, 20_000)] });
    await writer.settle();
    await writer.stop();
    const bytes = readFileSync(join(dir, FILE));
    writeFileSync(join(dir, FILE), bytes.subarray(0, bytes.length >> 1));
    const read = (): unknown => {
      const store = openStore(dir);
      onTestFinished(() => store.close());
      return store.readings.frames('gun-01', 0, Number.POSITIVE_INFINITY);
    };
    expect(messageOf(read)).toMatch(/^STORE_UNUSABLE .*driftline\.db: is damaged/);
  });

  test('below a file, or below a link that leads nowhere', async () => {
    const dir = tempDir();
    writeFileSync(join(dir, 'file'), '');
    symlinkSync(join(dir, 'nowhere'), join(dir, 'link'));
    await expect(startWriter(join(dir, 'file', 'data'))).rejects.toMatchObject({
      code: 'STORE_UNUSABLE',
      message: `${join(dir, 'file')}: found a file, expected a folder`,
    });
    await expect(startWriter(join(dir, 'link', 'data'))).rejects.toMatchObject({
      code: 'STORE_UNUSABLE',
      message: expect.stringMatching(
        /: cannot be read and written \(E[A-Z]+: .*give a folder that this user may write to$/,
      ),
    });
  });

  test('where a folder of the name of the store is in the way', () => {
    const dir = tempDir();
    mkdirSync(join(dir, FILE));
    expect(messageOf(() => openStore(dir))).toMatch(/^STORE_UNUSABLE .*: cannot be read and written/);
  });
});

test('a store that another program keeps locked says so after its time is up', () => {
  const dir = tempDir();
  openStore(dir, { create: true }).close();
  const other = new Database(join(dir, FILE));
  other.exec('BEGIN IMMEDIATE');
  const store = openStore(dir, { busyMs: 20 });
  expect(messageOf(() => store.states.put('x', Uint8Array.of(1)))).toMatch(
    /^STORE_LOCKED .* kept it locked for too long/,
  );
  other.exec('ROLLBACK');
  store.states.put('x', Uint8Array.of(1));
  store.close();
  other.close();
});

function manyReadings(station: string, from: number, count: number) {
  const times = Array.from({ length: count }, (_, i) => (from + i) * 1000);
  // Values without a pattern, so that they take room also when compressed.
  const values = times.map((_, i) => (Math.imul(from + i, 0x9e3779b1) >>> 8) / 1e4);
  return { station, times, channels: times.map(() => 0), values, strings: [], provenance: '' };
}

/** A file system of a few megabytes, where the system lets us have one. */
function smallDisk(): string | null {
  const dir = tempDir();
  try {
    execFileSync('mount', ['-t', 'tmpfs', '-o', 'size=3m', 'tmpfs', dir], { stdio: 'ignore' });
  } catch {
    return null;
  }
  onTestFinished(() => void execFileSync('umount', ['-l', dir]));
  return dir;
}

test('a full disk stops commits, loses nothing that was committed, and is over when there is room again', async (context) => {
  const dir = smallDisk();
  if (dir === null) return context.skip('needs the right to mount a small file system');
  const ballast = join(dir, 'ballast');
  writeFileSync(ballast, Buffer.alloc(1_000_000));
  const troubles: Error[] = [];
  const writer = await startWriter(join(dir, 'data'), { onTrouble: (error) => troubles.push(error) });
  const commits: number[] = [];
  let full: unknown = null;
  for (let i = 0; full === null && i < 1000; i++)
    await writer.commit({ packs: [manyReadings('gun-01', i * 1000, 1000)] }).then(
      () => commits.push(i),
      (error) => {
        full = error;
      },
    );
  expect(full).toMatchObject({ code: 'DISK_FULL', message: expect.stringContaining('the disk is full') });
  expect(commits.length).toBeGreaterThan(5);
  await expect(writer.commit({ packs: [manyReadings('gun-01', 1e6, 20_000)] })).rejects.toMatchObject({
    code: 'DISK_FULL',
  });
  await writer.settle().catch((error) => troubles.push(error));
  for (const trouble of troubles) expect(trouble).toMatchObject({ code: 'DISK_FULL' });

  rmSync(ballast);
  await writer.commit({ packs: [manyReadings('gun-02', 0, 1000)] });
  await writer.settle();
  await writer.stop();
  const store = openStore(join(dir, 'data'));
  const read = store.readings.frames('gun-01', 0, Number.POSITIVE_INFINITY);
  expect(read.times.length).toBe(commits.length * 1000);
  const expected = commits.flatMap((i) => manyReadings('gun-01', i * 1000, 1000).values);
  expect([...(read.columns['conveying/pressure'] ?? [])]).toEqual(expected);
  expect(store.readings.counts('gun-02').readings).toBe(1000);
  store.close();
  const database = new Database(join(dir, 'data', FILE), { readonly: true });
  expect(database.pragma('integrity_check', { simple: true })).toBe('ok');
  database.close();
});

test('the schema of a first start is made whole or not at all, and by one of several at a time', async () => {
  const dir = tempDir();
  const stores = Array.from({ length: 4 }, () => openStore(dir, { create: true }));
  for (const store of stores) store.states.put('x', Uint8Array.of(1));
  for (const store of stores) store.close();
  expect(statSync(join(dir, FILE)).size).toBeGreaterThan(0);
  expect(compactStore(dir).frames).toBe(0);
});
