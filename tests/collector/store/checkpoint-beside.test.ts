import { setTimeout as sleep } from 'node:timers/promises';
import { expect, test } from 'vitest';
import { BatchLog } from '../../../collector/store/batch-log.ts';
import { CheckpointBeside } from '../../../collector/store/checkpoint-beside.ts';
import { openDatabase } from '../../../collector/store/database.ts';
import { tempDir } from './temp-dir.ts';

const LIMITS = { quarantineBytes: 1024, tailBytes: 1024 * 1024 };
const CLOCK = (): number => performance.now();

/** A store with a table of one column; a value takes `pages` pages of its log. */
function store() {
  const dir = tempDir();
  const sql = openDatabase(dir, { create: true, durable: false });
  sql.exec('CREATE TABLE one (value BLOB)');
  const log = (): { log: number; checkpointed: number } => sql.all<never>('PRAGMA wal_checkpoint(NOOP)')[0]!;
  const write = (pages: number): unknown => sql.run('INSERT INTO one VALUES (zeroblob(?))', pages * 4080);
  return { dir, sql, log, write };
}

test('the log goes into the database beside commits, and once more for what came meanwhile', () => {
  const { sql, log, write } = store();
  const begun: number[] = [];
  const beside = { pays: true, busy: false, begin: () => begun.push(log().log) };
  const batches = new BatchLog(sql, LIMITS, beside);
  batches.checkpoint();
  expect(begun).toEqual([]);
  write(2000);
  batches.checkpoint();
  expect(begun).toHaveLength(1);
  // Not again while it is under way.
  beside.busy = true;
  batches.checkpoint();
  expect(begun).toHaveLength(1);
  // It has brought all of it but what came meanwhile.
  sql.pragma('wal_checkpoint(PASSIVE)');
  beside.busy = false;
  write(1);
  batches.checkpoint();
  expect(begun).toHaveLength(2);
  // All of it is there now.
  sql.pragma('wal_checkpoint(PASSIVE)');
  batches.checkpoint();
  write(1);
  batches.checkpoint();
  expect(begun).toHaveLength(2);
  sql.close();
});

test('on a quick disk it is done between commits', () => {
  const { sql, log, write } = store();
  let begun = 0;
  const batches = new BatchLog(sql, LIMITS, { pays: false, busy: false, begin: () => begun++ });
  let longest = 0;
  for (let commit = 0; commit < 60; commit++) {
    write(100);
    longest = Math.max(longest, log().log);
    batches.checkpoint();
  }
  expect(longest).toBeGreaterThan(1_900);
  expect(longest).toBeLessThan(2_200);
  expect(begun).toBe(0);
  sql.close();
});

test('it is not asked for again and again where commits never pause', () => {
  const { sql, log, write } = store();
  let begun = 0;
  const batches = new BatchLog(sql, LIMITS, { pays: true, busy: false, begin: () => begun++ });
  write(2000);
  for (let commit = 0; commit < 20; commit++) {
    batches.checkpoint();
    // What a thread beside would have done, less the newest commit.
    if (commit === 0) sql.pragma('wal_checkpoint(PASSIVE)');
    write(1);
  }
  expect(begun).toBe(4);
  expect(log().log - log().checkpointed).toBeLessThan(2000);
  sql.close();
});

test('a log that has become long there begins anew: commits wait for the rest, and not at each of them while somebody reads the old one', () => {
  const { dir, sql, log, write } = store();
  const batches = new BatchLog(sql, LIMITS, {
    pays: true,
    busy: false,
    begin: () => sql.pragma('wal_checkpoint(PASSIVE)'),
  });
  // Always something that has come meanwhile.
  const commits = (count: number): void => {
    for (let commit = 0; commit < count; commit++) {
      batches.checkpoint();
      write(100);
    }
  };
  let longest = 0;
  for (let more = 0; more < 100; more++) {
    commits(1);
    longest = Math.max(longest, log().log);
  }
  expect(longest).toBeLessThan(4_500);
  const reader = openDatabase(dir);
  reader.read(() => {
    reader.get('SELECT count(*) FROM one');
    commits(100);
    // What the reader may still look at stays.
    expect(log().log).toBeGreaterThan(8_000);
  });
  commits(30);
  expect(log().log).toBeLessThan(4_500);
  reader.close();
  sql.close();
});

test('the thread does it while others write, nothing is lost, and the log begins anew', async () => {
  const { dir, sql, log, write } = store();
  const beside = new CheckpointBeside(
    dir,
    CLOCK,
    () => 10,
    (error) => {
      throw error;
    },
  );
  let values = 0;
  for (let round = 0; round < 3; round++) {
    for (let more = 0; more < 20; more++) values += Number(write(50) !== null);
    beside.begin();
    expect(beside.busy).toBe(true);
    while (beside.busy) {
      values += Number(write(1) !== null);
      await sleep(1);
    }
    beside.begin();
    while (beside.busy) await sleep(1);
    expect(log().checkpointed).toBe(log().log);
  }
  values += Number(write(1) !== null);
  expect(log().log).toBeLessThan(20);
  await beside.stop();
  await beside.stop();
  sql.close();
  const found = openDatabase(dir);
  expect(found.get('SELECT count(*) AS n FROM one')).toEqual({ n: values });
  expect(found.pragma('integrity_check')).toBe('ok');
  found.close();
});

test('one that fails is told, and is not tried again at once', async () => {
  let now = 0;
  const faults: string[] = [];
  const beside = new CheckpointBeside(
    tempDir(),
    () => now,
    () => 10,
    ({ message }) => faults.push(message),
  );
  beside.begin();
  while (faults.length === 0) await sleep(5);
  expect(faults[0]).toContain('holds no store');
  expect(beside.busy).toBe(true);
  now += 6_000;
  expect(beside.busy).toBe(false);
  expect(beside.pays).toBe(true);
  await beside.stop();
});
