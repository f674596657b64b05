import { expect, test } from 'vitest';
import { MOST_STEPS } from '../../../collector/contract/resolution.ts';
import { compactStore, openStore, startWriter } from '../../../collector/index.ts';
import type { Refusal } from '../../../collector/store/store.ts';
import { tempDir } from './temp-dir.ts';

const pack = (station: string, time: number, value: number, provenance = '') => ({
  station,
  times: [time],
  channels: [0],
  values: [value],
  strings: [],
  provenance,
});

test('what is handed over while a transaction is written shares the next one', async () => {
  const writer = await startWriter(tempDir());
  const first = writer.commit({ packs: [pack('gun-01', 1000, 1)] });
  const along = writer.commit({ packs: [pack('gun-01', 3000, 1), pack('gun-02', 2000, 1)] });
  expect(along).toBe(first);
  await new Promise(setImmediate);
  const next = writer.commit({ packs: [pack('gun-01', 4000, 1)] });
  expect(writer.commit({ packs: [pack('gun-01', 5000, 1)] })).toBe(next);
  expect(writer.pendingBytes).toBeGreaterThan(0);
  expect(await first).toEqual({
    seq: 1,
    stations: [
      { station: 'gun-01', minTime: 1000, maxTime: 3000, readings: 2 },
      { station: 'gun-02', minTime: 2000, maxTime: 2000, readings: 1 },
    ],
  });
  expect(await next).toEqual({
    seq: 2,
    stations: [{ station: 'gun-01', minTime: 4000, maxTime: 5000, readings: 2 }],
  });
  expect(writer.pendingBytes).toBe(0);
  await writer.stop();
});

test('a group with an impossible reading is refused whole and the others go on', async () => {
  const dir = tempDir();
  const writer = await startWriter(dir);
  for (const wrong of [
    pack('gun-01', 1000.5, 1),
    pack('gun-01', -1, 1),
    pack('gun-01', 2 ** 43, 1),
    pack('gun-01', 1000, Number.NaN),
    { ...pack('gun-01', 1000, 1), channels: [14] },
    { ...pack('gun-01', 1000, 0), channels: [12] },
    { ...pack('gun-01', 1000, 1), values: [] },
  ])
    await expect(writer.commit({ packs: [pack('gun-02', 1000, 1), wrong] })).rejects.toThrow(/^pack of gun-01: /);
  await writer.commit({ packs: [pack('gun-03', 1000, 1)] });
  await writer.stop();
  const store = openStore(dir);
  expect(store.readings.stations().map(({ station }) => station)).toEqual(['gun-03']);
  store.close();
});

test('a stopped writer has written all it was given, takes nothing more, and leaves the folder free', async () => {
  const dir = tempDir();
  const writer = await startWriter(dir);
  const last = writer.commit({ packs: [pack('gun-01', 1000, 1)] });
  await Promise.all([writer.stop(), writer.stop()]);
  expect((await last).seq).toBe(1);
  await expect(writer.commit({ packs: [] })).rejects.toThrow('commit after the writer was stopped');
  await expect(writer.settle()).rejects.toThrow('settle after the writer was stopped');
  await writer.ended;
  const second = await startWriter(dir);
  expect((await second.commit({ packs: [pack('gun-01', 2000, 1)] })).seq).toBe(2);
  await second.stop();
});

test('a second service and a compaction are refused while one runs; other readers and loggers are not', async () => {
  const dir = tempDir();
  const writer = await startWriter(dir);
  const refusal = { code: 'STORE_UNUSABLE', message: expect.stringContaining('another driftline service is running') };
  await expect(startWriter(dir)).rejects.toMatchObject(refusal);
  expect(() => compactStore(dir)).toThrow(expect.objectContaining(refusal));
  const store = openStore(dir);
  const entry = { time: 1, gun: 'gun-01', part: 'nozzle', action: 'replaced', found: null, note: '' } as const;
  store.log.add(entry, { recordedAt: 1, source: 'cli' });
  await writer.commit({ packs: [pack('gun-01', 1000, 1.25)] });
  expect([...(store.readings.frames('gun-01', 0, 2000).columns['conveying/pressure'] ?? [])]).toEqual([1.25]);
  store.close();
  await writer.stop();
  expect(compactStore(dir).frames).toBe(1);
});

test('values beyond 32 bits of steps are kept as they are', async () => {
  const dir = tempDir();
  const writer = await startWriter(dir);
  const values = [MOST_STEPS / 1e4, (MOST_STEPS + 1) / 1e4, -1e9 / 3, 0.1 + 0.2, -0];
  await writer.commit({ packs: values.map((value, i) => pack('gun-01', i * 1000, value)) });
  const store = openStore(dir);
  const read = (): number[] => [...(store.readings.frames('gun-01', 0, 1e6).columns['conveying/pressure'] ?? [])];
  const expected = [...values.slice(0, 3), 0.3, 0];
  expect(read()).toEqual(expected);
  await writer.settle();
  expect(store.stats().tailBatches).toBe(0);
  expect(read()).toEqual(expected);
  expect(store.readings.minutes('gun-01', 0, 1e6).columns['conveying/pressure']?.min[0]).toBe(-1e9 / 3);
  store.close();
  await writer.stop();
});

test('sensors are kept by station and channel, before and after their readings are in chunks', async () => {
  const dir = tempDir();
  const writer = await startWriter(dir);
  await writer.commit({ packs: [pack('gun-01', 2000, 1, 'urn:dev:a:'), pack('gun-01', 1000, 1, 'urn:dev:a:')] });
  const store = openStore(dir);
  const sensor = { station: 'gun-01', channel: 'conveying/pressure', sensor: 'urn:dev:a:' };
  expect(store.readings.provenance('gun-01')).toEqual([{ ...sensor, firstTime: 1000, lastTime: 2000 }]);
  await writer.settle();
  await writer.commit({ packs: [pack('gun-01', 5000, 1, 'urn:dev:b:'), pack('gun-01', 4000, 1, 'urn:dev:a:')] });
  await writer.commit({ packs: [pack('gun-01', 6000, 1)] });
  expect(store.readings.provenance('gun-01')).toEqual([
    { ...sensor, firstTime: 1000, lastTime: 4000 },
    { ...sensor, sensor: 'urn:dev:b:', firstTime: 5000, lastTime: 5000 },
  ]);
  store.close();
  await writer.stop();
});

const refusal = (reason: string, bytes: number, receivedAt: number): Refusal => ({
  receivedAt,
  topic: 'airlines/hall-2/gun-01',
  reason,
  detail: 'expected a JSON array',
  payload: new Uint8Array(bytes).fill(receivedAt),
});

test('refusals, online states, retained messages and counters are durable with their group', async () => {
  const dir = tempDir();
  const writer = await startWriter(dir);
  const pool = Buffer.from('....payload....');
  await writer.commit({
    refusals: [refusal('not-json', 10, 1), refusal('not-json', 5000, 2), refusal('unknown-station', 0, 3)],
    online: [{ station: 'gun-01', online: true, at: 5 }],
    retained: [{ topic: 't', payload: pool.subarray(4, 11), qos: 1 }],
    counters: { messages: 2 },
  });
  await writer.commit({ online: [{ station: 'gun-01', online: false, at: 6 }], counters: { messages: 3, late: 1 } });
  const store = openStore(dir);
  expect(store.broker.online()).toEqual([{ station: 'gun-01', online: false, at: 6 }]);
  expect(store.broker.retained().map(({ payload }) => Buffer.from(payload).toString())).toEqual(['payload']);
  expect(store.counters()).toEqual({ late: 1, messages: 5 });
  expect(store.quarantine.counts()).toEqual([
    { reason: 'not-json', received: 2, kept: 2, dropped: 0 },
    { reason: 'unknown-station', received: 1, kept: 1, dropped: 0 },
  ]);
  const [, long, short] = store.quarantine.list();
  expect(long).toMatchObject({
    reason: 'not-json',
    receivedAt: 2,
    payloadBytes: 5000,
    detail: 'expected a JSON array',
  });
  expect(long?.payload.length).toBe(4096);
  expect([...(short?.payload ?? [])]).toEqual(new Array(10).fill(1));
  expect(store.quarantine.list({ reason: 'unknown-station' }).length).toBe(1);
  expect(store.quarantine.list({ beforeId: 3, limit: 1 }).map(({ id }) => id)).toEqual([2]);
  store.close();
  await writer.stop();
});

test('a quarantine that is full drops its oldest and says so', async () => {
  const dir = tempDir();
  const writer = await startWriter(dir, { quarantineBytes: 50_000 });
  for (let i = 0; i < 5; i++)
    await writer.commit({ refusals: Array.from({ length: 6 }, (_, k) => refusal(k < 3 ? 'a' : 'b', 4096, i)) });
  const store = openStore(dir);
  const kept = store.quarantine.list();
  const bytes = kept.reduce((sum, { payload }) => sum + payload.length, 0);
  expect(bytes).toBeLessThanOrEqual(50_000);
  expect(bytes).toBeGreaterThan(40_000);
  expect(kept.every(({ receivedAt }) => receivedAt >= 3)).toBe(true);
  for (const { received, kept: still, dropped } of store.quarantine.counts()) {
    expect(received).toBe(15);
    expect(still + dropped).toBe(15);
  }
  store.close();
  await writer.stop();
});

test('refusals that compaction packed are listed as before, and are the first to be dropped', async () => {
  const dir = tempDir();
  const first = await startWriter(dir);
  for (let i = 0; i < 40; i++)
    await first.commit({ refusals: [refusal(i % 2 ? 'a' : 'b', 5000, i), refusal('c', 10, i)] });
  await first.stop();
  const listed = () => {
    const store = openStore(dir);
    const { quarantine } = store;
    const [newest] = quarantine.list();
    const lists = [
      quarantine.list(),
      quarantine.list({ reason: 'a' }),
      quarantine.list({ limit: 7, beforeId: newest!.id - 9 }),
      quarantine.list({ reason: 'c', limit: 25 }),
      quarantine.counts(),
    ];
    store.close();
    return lists;
  };
  const before = listed();
  compactStore(dir);
  expect(listed()).toEqual(before);
  compactStore(dir);
  expect(listed()).toEqual(before);

  const second = await startWriter(dir, { quarantineBytes: 150_000 });
  await second.commit({ refusals: [refusal('d', 4000, 99)] });
  const store = openStore(dir);
  const kept = store.quarantine.list();
  expect(kept[0]).toMatchObject({ reason: 'd', receivedAt: 99 });
  expect(kept.length).toBeLessThan(81);
  expect(kept.slice(1)).toEqual(before[0]!.slice(0, kept.length - 1));
  const counts = store.quarantine.counts();
  expect(counts.reduce((sum, one) => sum + one.kept, 0)).toBe(kept.length);
  expect(counts.reduce((sum, one) => sum + one.kept + one.dropped, 0)).toBe(81);
  store.close();
  await second.stop();
});

test('a long tail becomes chunks by itself while commits go on', async () => {
  const dir = tempDir();
  const writer = await startWriter(dir);
  const store = openStore(dir);
  let expected = 0;
  for (let round = 0; store.stats().chunks === 0; round++) {
    const times = Array.from({ length: 20_000 }, (_, i) => (round * 20_000 + i) * 100);
    const channels = times.map(() => 1);
    await writer.commit({
      packs: [
        {
          station: 'gun-01',
          times,
          channels,
          values: times.map((time) => (time % 997) / 100),
          strings: [],
          provenance: '',
        },
      ],
    });
    expected += times.length;
    expect(store.readings.counts('gun-01').frames).toBe(expected);
    if (round > 200) throw new Error('never became chunks');
  }
  store.close();
  await writer.stop();
});
