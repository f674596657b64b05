import { mkdtempSync, rmSync, statSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, expect, test } from 'vitest';
import { STORE_FILE } from '../../../collector/store/database.ts';
import { openStore } from '../../../collector/store/embedded.ts';

let dir: string;
beforeEach(() => {
  dir = mkdtempSync(join(tmpdir(), 'driftline-test-'));
  openStore(dir, { create: true }).close();
});
afterEach(() => rmSync(dir, { recursive: true }));

const databaseBytes = (): number => statSync(join(dir, STORE_FILE)).size;
const MEGABYTE = 1024 * 1024;

test.each([
  [{ besideWriter: true }, 'leaves the log to the writer'],
  [{ durable: false }, 'leaves the log to the writer'],
  [{}, 'brings the log into the database by itself'],
])('a connection opened with %o %s', (options, does) => {
  const store = openStore(dir, options);
  const before = databaseBytes();
  // SQLite's own checkpoint comes after 1000 pages of 4 KiB.
  for (let part = 0; part < 8; part++) store.states.put(`part-${part}`, Buffer.alloc(MEGABYTE, part));
  const grown = databaseBytes() - before;
  if (does.startsWith('leaves')) expect(grown).toBe(0);
  else expect(grown).toBeGreaterThan(4 * MEGABYTE);
  store.close();
  // Whoever closes last does it in any case.
  expect(databaseBytes() - before).toBeGreaterThan(8 * MEGABYTE);
});
