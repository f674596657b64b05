import { copyFileSync, statSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { expect, test } from 'vitest';
import { openDatabase } from '../../../collector/store/database.ts';
import { WalRoom } from '../../../collector/store/wal-room.ts';
import { tempDir } from './temp-dir.ts';

const MIB = 1024 * 1024;

/** A store with a table of one column, and how long its log is. */
function store() {
  const dir = tempDir();
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
