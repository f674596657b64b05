import { once } from 'node:events';
import { Worker } from 'node:worker_threads';
import { expect, test } from 'vitest';
import { openDatabase } from '../../../collector/store/database.ts';
import { tempDir } from './temp-dir.ts';

test('an eager connection waits for a lock that another has, and gives up with a reason', async () => {
  const dir = tempDir();
  const sql = openDatabase(dir, { create: true, eager: () => performance.now(), busyMs: 300 });
  sql.exec('CREATE TABLE one (value INTEGER)');
  const code = `const { workerData, parentPort } = require('node:worker_threads');
    const database = new (require(workerData.library))(workerData.file);
    const hold = (ms) => { database.exec('BEGIN IMMEDIATE'); parentPort.postMessage('held'); Atomics.wait(new Int32Array(new SharedArrayBuffer(4)), 0, 0, ms); database.exec('INSERT INTO one VALUES (1); COMMIT'); };
    parentPort.on('message', hold);`;
  const library = new URL('../../../node_modules/better-sqlite3/lib/index.js', import.meta.url).pathname;
  const other = new Worker(code, { eval: true, workerData: { library, file: sql.file } });
  other.postMessage(50);
  await once(other, 'message');
  expect(sql.write(() => sql.get('SELECT count(*) AS n FROM one'))).toEqual({ n: 1 });
  other.postMessage(3_000);
  await once(other, 'message');
  expect(() => sql.write(() => sql.run('INSERT INTO one VALUES (2)'))).toThrow('locked for too long');
  await other.terminate();
  expect(sql.write(() => sql.get('SELECT count(*) AS n FROM one'))).toEqual({ n: 1 });
  // What is no transaction waits as before.
  expect(sql.pragma('busy_timeout')).toBe(300);
  sql.close();
});
