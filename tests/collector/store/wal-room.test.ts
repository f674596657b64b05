import { execFileSync } from 'node:child_process';
import { copyFileSync, rmSync, statfsSync, statSync, writeFileSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { expect, onTestFinished, test } from 'vitest';
import { openDatabase } from '../../../collector/store/database.ts';
import { WalRoom } from '../../../collector/store/wal-room.ts';
import { tempDir } from './temp-dir.ts';

const MIB = 1024 * 1024;

/** A store with a table of one column, and how long its log is. */
function store(dir = tempDir()) {
  const sql = openDatabase(dir, { create: true });
  sql.exec('CREATE TABLE one (value BLOB)');
  const walBytes = (): number => statSync(`${sql.file}-wal`).size;
  const pages = (): number => sql.all<{ log: number }>('PRAGMA wal_checkpoint(NOOP)')[0]!.log;
  return { dir, sql, walBytes, pages };
}

test('the log has a megabyte ahead, and grows again when half of it is used', () => {
  const { sql, walBytes, pages } = store();
  const room = new WalRoom(sql, 1000);
  const before = walBytes();
  room.look(pages());
  expect(walBytes()).toBe(before + MIB);
  room.look(pages());
  expect(walBytes()).toBe(before + MIB);
  while (walBytes() - (32 + pages() * 4120) >= MIB / 2) sql.run('INSERT INTO one VALUES (zeroblob(10000))');
  expect(walBytes()).toBe(before + MIB);
  room.look(pages());
  expect(walBytes()).toBe(before + 2 * MIB);
  sql.close();
});

test('no room is made beyond the length at which the log goes into the database', () => {
  const { sql, walBytes, pages } = store();
  const room = new WalRoom(sql, pages());
  const before = walBytes();
  room.look(pages());
  expect(walBytes()).toBe(before);
  sql.close();
});

test('what is committed before and after, by whomever, is there, also for one who finds the log without its index', () => {
  const { dir, sql, pages } = store();
  const room = new WalRoom(sql, 1000);
  const another = openDatabase(dir);
  for (let value = 0; value < 300; value++) {
    room.look(pages());
    (value % 2 === 0 ? sql : another).run('INSERT INTO one VALUES (?)', value);
  }
  room.look(pages());
  // As after a kill: its index in shared memory is not there.
  const copy = join(tempDir(), 'driftline.db');
  for (const part of ['', '-wal']) copyFileSync(`${sql.file}${part}`, `${copy}${part}`);
  for (const one of [another, sql]) one.close();
  const found = openDatabase(dirname(copy));
  expect(found.get('SELECT count(*) AS n, sum(value) AS sum FROM one')).toEqual({ n: 300, sum: 44_850 });
  expect(found.pragma('integrity_check')).toBe('ok');
  found.close();
});

test('a full disk leaves the log to grow by itself; once it has begun anew and there is room, room is made again', (context) => {
  const dir = tempDir();
  try {
    execFileSync('mount', ['-t', 'tmpfs', '-o', 'size=6m', 'tmpfs', dir], { stdio: 'ignore' });
  } catch {
    return context.skip('needs the right to mount a small file system');
  }
  onTestFinished(() => void execFileSync('umount', ['-l', dir]));
  const { sql, walBytes, pages } = store(dir);
  sql.pragma('wal_autocheckpoint = 0');
  const room = new WalRoom(sql, 1000);
  const ballast = `${dir}/ballast`;
  const { bavail, bsize } = statfsSync(dir);
  writeFileSync(ballast, Buffer.alloc(bavail * bsize - 150_000));
  const before = walBytes();
  room.look(pages());
  // What could be written of it is no harm, and the next look finds that there is none; commits go on in what is there.
  room.look(pages());
  expect(walBytes() - before).toBeLessThan(MIB);
  sql.run('INSERT INTO one VALUES (1)');
  rmSync(ballast);
  // Until the log begins anew it is not tried at each commit.
  const full = walBytes();
  room.look(pages());
  expect(walBytes()).toBe(full);
  sql.pragma('wal_checkpoint(PASSIVE)');
  sql.run('INSERT INTO one VALUES (2)');
  room.look(pages());
  expect(walBytes()).toBeGreaterThanOrEqual(MIB);
  sql.run('INSERT INTO one VALUES (3)');
  expect(sql.get('SELECT count(*) AS n FROM one')).toEqual({ n: 3 });
  expect(sql.pragma('integrity_check')).toBe('ok');
  sql.close();
});
