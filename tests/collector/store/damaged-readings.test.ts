import { join } from 'node:path';
import Database from 'better-sqlite3';
import { expect, test } from 'vitest';
import { backupStore, restoreStore } from '../../../collector/store/backup.ts';
import { BatchBuilder } from '../../../collector/store/batch-builder.ts';
import { compactStore } from '../../../collector/store/compact.ts';
import { openStore } from '../../../collector/store/embedded.ts';
import { damageOf } from '../../../collector/store/extents.ts';
import { verifyStore } from '../../../collector/store/verify.ts';
import { startWriter } from '../../../collector/store/writer.ts';
import { tempDir } from './temp-dir.ts';

const START = 1_760_000_000_000;
const EVER = Number.MAX_SAFE_INTEGER;
const SUMS = /found the checksum [0-9a-f]{8}, expected [0-9a-f]{8}/;

const pack = (station: string, second: number, count = 20) => ({
  station,
  times: Array.from({ length: count }, (_, i) => START + 1000 * (second + i)),
  channels: Array.from({ length: count }, () => 0),
  values: Array.from({ length: count }, (_, i) => 1 + (i % 9) / 10),
  strings: [],
  provenance: 'urn:dev:one:',
});

/** Three commits: the second has a pack of gun-01 and one of gun-03, the others are of other times or guns. */
async function threeBatches(): Promise<string> {
  const dir = join(tempDir(), 'data');
  const writer = await startWriter(dir);
  await writer.commit({ packs: [pack('gun-01', 0), pack('gun-02', 0)] });
  await writer.commit({ packs: [pack('gun-01', 100), pack('gun-03', 50)] });
  await writer.commit({ packs: [pack('gun-01', 200), pack('gun-02', 200)] });
  await writer.stop();
  return dir;
}

/** Changes one byte of what a query gives. */
function change(dir: string, table: 'batch' | 'chunk', rowid: number | bigint, at: number): void {
  const database = new Database(join(dir, 'driftline.db'));
  const body = database.prepare(`SELECT body FROM ${table} WHERE rowid = ?`).pluck().get(rowid) as Buffer;
  body[at < 0 ? body.length + at : at]! ^= 0x10;
  database.prepare(`UPDATE ${table} SET body = ? WHERE rowid = ?`).run(body, rowid);
  database.close();
}

const frames = (store: ReturnType<typeof openStore>, station: string, from = 0, to = EVER): number =>
  store.readings.frames(station, from, to).times.length;

test('whichever byte of a batch is changed, it says whose readings it held', () => {
  const builder = new BatchBuilder();
  builder.add(pack('gun-01', 100));
  builder.add(pack('gun-03', 50));
  builder.add(pack('gun-01', 120));
  const batch = Buffer.from(builder.bytes());
  expect(damageOf(7, batch)).toBeNull();
  const extents = [
    { station: 'gun-01', from: START + 100_000, to: START + 139_000, readings: 40 },
    { station: 'gun-03', from: START + 50_000, to: START + 69_000, readings: 20 },
  ];
  let uncertain = 0;
  // The version is before what the checksum is of; another one is no batch.
  for (let at = 1; at < batch.length; at++) {
    const changed = Buffer.from(batch);
    changed[at]! ^= 0x10;
    const damage = damageOf(7, changed)!;
    expect(damage.fault, `byte ${at}`).toMatch(SUMS);
    if (!damage.certain) uncertain++;
    else expect(damage.extents, `byte ${at}`).toEqual(extents);
    // Where the extents are what was changed, the packs' heads still tell the same.
    expect(damage.extents, `byte ${at}`).toEqual(extents);
  }
  // What lies behind the packs: 2 stations, each 22 bytes and 6 of its name, in 8 bytes, and the tag before them.
  expect(uncertain).toBeLessThanOrEqual(1 + 2 * 28 + 8);
  expect(uncertain).toBeGreaterThan(0);
});

test.each([
  ['in a name', 11],
  ['in a time', 64],
  ['in a value', 100],
  ['in its extents', -20],
])('a batch that is changed %s takes no other span and no other station with it', async (_, at) => {
  const dir = await threeBatches();
  change(dir, 'batch', 2, at);
  const store = openStore(dir);
  for (const [station, from, to] of [
    ['gun-01', '2025-10-09T08:55:00.000Z', '2025-10-09T08:55:19.000Z'],
    ['gun-03', '2025-10-09T08:54:10.000Z', '2025-10-09T08:54:29.000Z'],
  ] as const)
    for (const read of [
      () => store.readings.frames(station, 0, EVER),
      () => [...store.readings.iterateFrames(station, START + 60_000, EVER)],
      () => store.readings.minutes(station, 0, EVER),
      () => store.readings.counts(station),
    ])
      expect(read).toThrow(
        expect.objectContaining({
          code: 'READINGS_DAMAGED',
          message: expect.stringMatching(
            new RegExp(`readings of ${station} from ${from} to ${to} are damaged \\(batch 2: ${SUMS.source}`),
          ),
        }),
      );
  expect(frames(store, 'gun-02')).toBe(40);
  expect(store.readings.counts('gun-02').readings).toBe(40);
  // To the end, and from behind it.
  expect(frames(store, 'gun-01', 0, START + 100_000)).toBe(20);
  expect(frames(store, 'gun-01', START + 119_001)).toBe(20);
  store.close();
  expect(verifyStore(dir).faults.slice(0, 2)).toEqual([
    expect.stringMatching(/^readings of gun-01 .* are damaged \(batch 2: found/),
    expect.stringMatching(/^readings of gun-03 .* are damaged \(batch 2: found/),
  ]);
});

test('a store that leaves out what is damaged gives the rest, and says what is missing', async () => {
  const dir = await threeBatches();
  change(dir, 'batch', 2, 100);
  const store = openStore(dir, { leaveOutDamaged: true });
  expect(frames(store, 'gun-01')).toBe(40);
  expect(frames(store, 'gun-03')).toBe(0);
  expect(store.readings.counts('gun-01').readings).toBe(40);
  expect(store.readings.damaged('gun-01')).toMatchObject([
    { what: 'batch 2', station: 'gun-01', from: START + 100_000, to: START + 119_000, certain: true },
  ]);
  expect(store.readings.damaged('gun-01', 0, START + 100_000)).toEqual([]);
  expect(store.readings.damaged('gun-02')).toEqual([]);
  store.close();
});

test('the writer sets a damaged batch aside, tells of it, and all else becomes chunks and can be copied', async () => {
  const dir = await threeBatches();
  change(dir, 'batch', 2, 100);
  const told: string[] = [];
  const writer = await startWriter(dir, { onDamaged: (sentence) => told.push(sentence) });
  await writer.commit({ packs: [pack('gun-01', 300), pack('gun-03', 300)] });
  await writer.settle();
  await writer.stop();
  expect(told).toEqual([
    expect.stringMatching(/^readings of gun-01 from .* are damaged \(batch 2: found/),
    expect.stringMatching(/^readings of gun-03 from .* are damaged \(batch 2: found/),
  ]);
  const verified = verifyStore(dir);
  expect(verified).toMatchObject({ batches: 0, faults: [], setAside: told });
  expect(verified.stations.map(({ station, readings }) => `${station} ${readings}`)).toEqual([
    'gun-01 60',
    'gun-02 40',
    'gun-03 20',
  ]);
  // A backup of it is one with what is there, and its copy says the same.
  const out = join(tempDir(), 'backup.db');
  expect(backupStore(dir, out).verified.setAside).toEqual(told);
  const copy = join(tempDir(), 'copy');
  expect((await restoreStore(out, copy)).verified.setAside).toEqual(told);
  const store = openStore(copy);
  expect(() => frames(store, 'gun-01')).toThrow(/readings of gun-01 from .* are damaged \(batch 2/);
  expect(frames(store, 'gun-01', START + 119_001)).toBe(40);
  store.close();
});

test('a damaged batch that comes up while the writer runs is set aside by it as well', async () => {
  const dir = join(tempDir(), 'data');
  const told: string[] = [];
  const writer = await startWriter(dir, { onDamaged: (sentence) => told.push(sentence) });
  for (let i = 0; i < 3; i++) await writer.commit({ packs: [pack('gun-01', 100 * i)] });
  change(dir, 'batch', 2, 100);
  await writer.settle();
  await writer.stop();
  expect(told).toEqual([expect.stringMatching(/^readings of gun-01 from .* are damaged \(batch 2/)]);
  expect(verifyStore(dir)).toMatchObject({ batches: 0, faults: [], setAside: told });
});

test('of a damaged chunk the same holds: for reads, late readings, retention and compaction', async () => {
  const prepare = async (): Promise<string> => {
    const dir = join(tempDir(), 'data');
    const writer = await startWriter(dir);
    // Some chunks of each gun.
    await writer.commit({ packs: [pack('gun-01', 0, 2000), pack('gun-02', 0, 2000)] });
    await writer.settle();
    await writer.stop();
    const database = new Database(join(dir, 'driftline.db'));
    const [, second] = database
      .prepare("SELECT key FROM chunk JOIN station ON station.id = key >> 43 WHERE name = 'gun-01' ORDER BY key")
      .pluck()
      .safeIntegers()
      .all() as bigint[];
    database.close();
    change(dir, 'chunk', second!, -1);
    return dir;
  };
  const dir = await prepare();
  const store = openStore(dir);
  const damaged =
    /readings of gun-01 from 2025-10-09T09:01:52.000Z to .* are damaged \(chunk .* of gun-01: found the ch/;
  expect(() => frames(store, 'gun-01')).toThrow(damaged);
  expect(frames(store, 'gun-01', 0, START + 512_000)).toBe(512);
  expect(frames(store, 'gun-02')).toBe(2000);
  store.close();
  const lenient = openStore(dir, { leaveOutDamaged: true });
  expect(frames(lenient, 'gun-01')).toBe(2000 - 512);
  expect(lenient.readings.damaged()).toMatchObject([{ station: 'gun-01', from: START + 512_000 }]);
  lenient.close();

  // A late reading opens that chunk again: it is set aside, and the reading is kept.
  const late = await startWriter(dir, { onDamaged: () => undefined });
  await late.commit({ packs: [pack('gun-01', 600.5, 1), pack('gun-02', 600.5, 1)] });
  await late.settle();
  await late.stop();
  const verified = verifyStore(dir);
  expect(verified.faults).toEqual([]);
  expect(verified.setAside).toEqual([expect.stringMatching(damaged)]);
  expect(verified.stations).toMatchObject([{ frames: 2000 - 512 + 1 }, { frames: 2001 }]);

  const thinning = await prepare();
  const writer = await startWriter(thinning);
  const rules = { rawDays: 1, thinnedDays: 0, runsDays: 0, thinnedMinutes: 10 };
  await writer.commit({ packs: [pack('gun-01', 3 * 86_400), pack('gun-02', 3 * 86_400)] });
  await writer.settle();
  await writer.retain(rules, START + 3 * 86_400_000);
  await writer.stop();
  expect(verifyStore(thinning)).toMatchObject({
    faults: [],
    setAside: [expect.stringMatching(damaged)],
    // The newest chunk of each has the new readings too.
    stations: [{ thinned: 1024 }, { thinned: 1536 }],
  });

  const compact = await prepare();
  expect(compactStore(compact).frames).toBe(4000 - 512);
  expect(verifyStore(compact)).toMatchObject({ faults: [], setAside: [expect.stringMatching(damaged)] });
});

test('compaction sets aside what it would have left as it is because it is full', async () => {
  const dir = join(tempDir(), 'data');
  const writer = await startWriter(dir);
  for (let from = 0; from < 40_000; from += 2000) await writer.commit({ packs: [pack('gun-01', from, 2000)] });
  await writer.settle();
  await writer.stop();
  const { frames: all } = compactStore(dir);
  const database = new Database(join(dir, 'driftline.db'));
  const chunks = database.prepare('SELECT rowid AS id, frames FROM chunk ORDER BY 1').all() as {
    id: number;
    frames: number;
  }[];
  database.close();
  expect(chunks.length).toBeGreaterThan(1);
  change(dir, 'chunk', chunks[0]!.id, 40);
  expect(verifyStore(dir)).toMatchObject({ faults: [expect.stringMatching(SUMS)] });
  expect(compactStore(dir).frames).toBe(all - chunks[0]!.frames);
  expect(verifyStore(dir)).toMatchObject({
    faults: [],
    setAside: [expect.stringMatching(/^readings of gun-01 from/)],
  });
});
