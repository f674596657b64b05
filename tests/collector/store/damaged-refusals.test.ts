import { randomBytes } from 'node:crypto';
import { join } from 'node:path';
import Database from 'better-sqlite3';
import { beforeEach, expect, test } from 'vitest';
import { backupStore } from '../../../collector/store/backup.ts';
import { compactStore } from '../../../collector/store/compact.ts';
import { damagedIn } from '../../../collector/store/damage.ts';
import { openStore } from '../../../collector/store/embedded.ts';
import { verifyStore } from '../../../collector/store/verify.ts';
import { startWriter } from '../../../collector/store/writer.ts';
import { tempDir } from './temp-dir.ts';

const refusal = (index: number) => ({
  receivedAt: 1_760_000_000_000 + index,
  topic: 'airlines/hall-2/gun-01',
  reason: index % 2 === 0 ? 'not-json' : 'not-senml',
  detail: `refusal ${index}`,
  // They cannot be packed, so that there are several packs.
  payload: randomBytes(4000),
});
const refusals = (from: number, count: number) => Array.from({ length: count }, (_, i) => refusal(from + i));

let dir: string;
let healthy: ReturnType<typeof verifyStore>;
/** Entries of the oldest pack, which is damaged by one bit. */
let lost: number;

beforeEach(async () => {
  dir = join(tempDir(), 'data');
  const writer = await startWriter(dir);
  await writer.commit({ refusals: refusals(0, 60) });
  await writer.stop();
  compactStore(dir);
  healthy = verifyStore(dir);
  const database = new Database(join(dir, 'driftline.db'));
  const { first, entries, body } = database
    .prepare('SELECT first_id AS first, entries, body FROM quarantine_pack ORDER BY first_id LIMIT 1')
    .get() as { first: number; entries: number; body: Buffer };
  body[body.length >> 1]! ^= 1;
  database.prepare('UPDATE quarantine_pack SET body = ? WHERE first_id = ?').run(body, first);
  database.close();
  lost = entries;
});

test('a damaged pack of refusals keeps neither the others from being read nor the store from being copied', async () => {
  expect(healthy).toMatchObject({ refusals: 60, faults: [] });
  const words = expect.stringMatching(/^refused messages are damaged \(refusals 1 to \d+: found the checksum .*\)$/);
  expect(verifyStore(dir)).toMatchObject({ refusals: 60 - lost, faults: [words] });
  const out = join(tempDir(), 'backup.db');
  const { verified } = backupStore(dir, out);
  expect(verified).toMatchObject({ refusals: 60 - lost, faults: [], setAside: [words] });
  const store = openStore(dir);
  expect(store.quarantine.list()).toHaveLength(60 - lost);
  expect(damagedIn(store)).toMatchObject([{ kind: 'refusals', what: `refusals 1 to ${lost}`, station: '' }]);
  store.close();

  const told: string[] = [];
  await (await startWriter(dir, { onDamaged: (sentence) => void told.push(sentence) })).stop();
  expect(told).toEqual([words]);
  expect(verifyStore(dir)).toMatchObject({ refusals: 60 - lost, faults: [], setAside: [words] });
  const counts = openStore(dir);
  expect(counts.quarantine.counts().reduce((sum, { kept }) => sum + kept, 0)).toBe(60 - lost);
  expect(counts.quarantine.counts().reduce((sum, { dropped }) => sum + dropped, 0)).toBe(lost);
  counts.close();
});

test('a reader that meets one notes it', () => {
  const store = openStore(dir);
  expect(store.quarantine.list({ limit: 100 })).toHaveLength(60 - lost);
  expect(store.damage.list()).toMatchObject([{ kind: 'refusals', what: `refusals 1 to ${lost}` }]);
  store.close();
});

test('a damaged pack does not hold up commits when the oldest refusals have to go', async () => {
  const told: string[] = [];
  const writer = await startWriter(dir, {
    quarantineBytes: 350_000,
    onDamaged: (sentence) => void told.push(sentence),
  });
  await writer.commit({ refusals: refusals(60, 40) });
  await writer.stop();
  expect(told).toEqual([expect.stringMatching(/^refused messages are damaged \(refusals 1 to /)]);
  const store = openStore(dir);
  const kept = store.quarantine.list();
  expect(kept[0]?.detail).toBe('refusal 99');
  expect(kept.length).toBeGreaterThan(40);
  expect(store.quarantine.counts().reduce((sum, count) => sum + count.kept, 0)).toBe(kept.length);
  store.close();
  expect(verifyStore(dir)).toMatchObject({ faults: [], setAside: [expect.stringContaining('refused messages')] });
});
