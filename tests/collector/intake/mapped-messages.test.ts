import { createRequire } from 'node:module';
import { afterEach, describe, expect, test } from 'vitest';
import { CollectorUnderTest, NOW } from './collector-under-test.ts';

const { encodePayload } = createRequire(import.meta.url)('sparkplug-payload').get('spBv1.0') as {
  encodePayload(payload: object): Uint8Array;
};
const sparkplug = (seq: number | null, metrics: object[]): Buffer =>
  Buffer.from(encodePayload({ timestamp: NOW, ...(seq === null ? {} : { seq }), metrics }));

let it: CollectorUnderTest;
afterEach(() => it.end());

const PRESSURE = { channel: 'conveying/pressure', path: '$.p', unit: 'kPa' } as const;
const start = async () => {
  it = new CollectorUnderTest();
  it.config = {
    broker: { port: 0 },
    mappings: [
      { topic: 'gw/+', station: { level: 2 }, channels: [PRESSURE] },
      { topic: 'timed/+', station: { level: 2 }, time: { path: '$.t', as: 'unix-ms' }, channels: [PRESSURE] },
    ],
    sparkplug: {
      hostId: 'driftline',
      sources: [{ station: { from: 'device' }, metrics: [{ metric: 'P', channel: 'conveying/pressure' }] }],
    },
  };
  return it.start();
};

test('a mapped message is acknowledged once its readings are stored, and still reaches its subscribers', async () => {
  await start();
  const reader = await it.client();
  const seen = new Promise<string>((resolve) => reader.on('message', (_topic, payload) => resolve(String(payload))));
  await reader.subscribeAsync('gw/#');
  const gateway = await it.client();
  await gateway.publishAsync('gw/gun-02', '{"p":162}', { qos: 1 });
  expect(it.readings('gun-02', 'conveying/pressure')).toEqual([[NOW, 1.62]]);
  expect(await seen).toBe('{"p":162}');
});

test('what cannot be mapped is in the quarantine with its reason, and acknowledged', async () => {
  const { store } = await start();
  const gateway = await it.client();
  await gateway.publishAsync('gw/gun-02', '{"q":162}', { qos: 1 });
  await gateway.publishAsync('gw/gun-99', '{"p":162}', { qos: 1 });
  await gateway.publishAsync('gw/gun-02', 'p=162', { qos: 1 });
  expect(store.quarantine.list().map(({ topic, reason }) => [topic, reason])).toEqual([
    ['gw/gun-02', 'not-json'],
    ['gw/gun-99', 'unknown-station'],
    ['gw/gun-02', 'nothing-mapped'],
  ]);
});

test('an edge node is followed from birth over our restart to its death', async () => {
  await start();
  const node = await it.client();
  const birth = [{ name: 'bdSeq', type: 'UInt64', value: 4 }];
  await node.publishAsync('spBv1.0/hall/NBIRTH/edge', sparkplug(0, birth), { qos: 1 });
  await node.publishAsync(
    'spBv1.0/hall/DBIRTH/edge/gun-02',
    sparkplug(1, [{ name: 'P', alias: 9, type: 'Double', value: 1.5 }]),
    { qos: 1 },
  );
  expect(it.collector.latest('gun-02')).toMatchObject({ online: true });
  await node.endAsync();

  await it.restart();
  const will = { topic: 'spBv1.0/hall/NDEATH/edge', payload: sparkplug(null, birth), qos: 1, retain: false } as const;
  const again = await it.client({ will });
  const command = new Promise<string>((resolve) => again.on('message', (topic) => resolve(topic)));
  await again.subscribeAsync('spBv1.0/hall/NCMD/edge');
  const metrics = [{ alias: 9, type: 'Double', value: 1.75, timestamp: NOW + 1000 }];
  await again.publishAsync('spBv1.0/hall/DDATA/edge/gun-02', sparkplug(2, metrics), { qos: 1 });
  expect(it.readings('gun-02', 'conveying/pressure')).toEqual([
    [NOW, 1.5],
    [NOW + 1000, 1.75],
  ]);
  // Whether these births still hold is to be asked.
  expect(await command).toBe('spBv1.0/hall/NCMD/edge');
  const offline = new Promise<boolean>((resolve) => it.collector.on('online', ([state]) => resolve(state!.online)));
  again.stream.destroy();
  expect(await offline).toBe(false);
});

test('edge nodes can see that their host is there', async () => {
  await start();
  const node = await it.client();
  const state = new Promise<string>((resolve) => node.on('message', (_topic, payload) => resolve(String(payload))));
  await node.subscribeAsync('spBv1.0/STATE/driftline', { qos: 1 });
  expect(JSON.parse(await state)).toEqual({ online: true, timestamp: NOW });
});

const HOUR = 3_600_000;

test.each([
  ['ahead', 2 * HOUR],
  ['at 1970', -NOW],
])('a gateway whose clock is %s has its readings corrected like a node', async (_, offMs) => {
  const { store } = await start();
  const gateway = await it.client();
  for (let i = 0; i < 8; i++) {
    it.now = NOW + 1000 * i;
    await gateway.publishAsync('timed/gun-02', `{"p":162,"t":${NOW + offMs + 1000 * i}}`, { qos: 1 });
  }
  expect(it.readings('gun-02', 'conveying/pressure')).toEqual(
    Array.from({ length: 8 }, (_, i) => [NOW + 1000 * i, 1.62]),
  );
  expect(store.clocks.list()).toMatchObject([{ station: 'gun-02', offsetMs: offMs, readings: 8, open: true }]);
});

test('an edge node whose clock is ahead has its readings corrected like a node', async () => {
  const { store } = await start();
  const node = await it.client();
  const send = (kind: string, seq: number, timestamp: number, metric: object): Promise<unknown> =>
    node.publishAsync(
      `spBv1.0/hall/${kind}/edge1${kind.startsWith('D') ? '/gun-02' : ''}`,
      Buffer.from(encodePayload({ timestamp, seq, metrics: [{ timestamp, ...metric }] })),
      { qos: 1 },
    );
  const ahead = NOW + 2 * HOUR;
  await send('NBIRTH', 0, ahead, { name: 'bdSeq', type: 'Int64', value: 0 });
  await send('DBIRTH', 1, ahead, { name: 'P', alias: 1, type: 'Double', value: 1.5 });
  for (let i = 1; i < 8; i++) {
    it.now = NOW + 1000 * i;
    await send('DDATA', i + 1, ahead + 1000 * i, { alias: 1, type: 'Double', value: 1.5 });
  }
  expect(it.readings('gun-02', 'conveying/pressure')).toEqual(
    Array.from({ length: 8 }, (_, i) => [NOW + 1000 * i, 1.5]),
  );
  expect(store.clocks.list()).toMatchObject([{ station: 'gun-02', offsetMs: 2 * HOUR, open: true }]);
});

test('what an edge node says is historical tells nothing of its clock, however steadily it comes', async () => {
  const { store } = await start();
  const node = await it.client();
  const send = (kind: string, seq: number, metric: object): Promise<unknown> =>
    node.publishAsync(
      `spBv1.0/hall/${kind}/edge1${kind.startsWith('D') ? '/gun-02' : ''}`,
      Buffer.from(encodePayload({ timestamp: it.now, seq, metrics: [metric] })),
      { qos: 1 },
    );
  await send('NBIRTH', 0, { name: 'bdSeq', type: 'Int64', value: 0 });
  await send('DBIRTH', 1, { name: 'P', alias: 1, type: 'Double', value: 1.5, timestamp: NOW });
  for (let i = 1; i < 20; i++) {
    it.now = NOW + 10_000 * i;
    const timestamp = it.now - HOUR;
    await send('DDATA', i + 1, { alias: 1, type: 'Double', value: 1.5, timestamp, isHistorical: true });
  }
  expect(it.readings('gun-02', 'conveying/pressure').map(([time]) => time)).toEqual([
    ...Array.from({ length: 19 }, (_, i) => NOW - HOUR + 10_000 * (i + 1)),
    NOW,
  ]);
  expect(store.clocks.list()).toEqual([]);
});

describe('historical values of an edge node with times that cannot be true', () => {
  const born = async () => {
    const { store } = await start();
    const node = await it.client();
    let seq = 0;
    const send = (kind: string, ...metrics: object[]): Promise<unknown> =>
      node.publishAsync(
        `spBv1.0/hall/${kind}/edge1${kind.startsWith('D') ? '/gun-02' : ''}`,
        Buffer.from(encodePayload({ timestamp: it.now, seq: seq++, metrics })),
        { qos: 1 },
      );
    await send('NBIRTH', { name: 'bdSeq', type: 'Int64', value: 0 });
    await send('DBIRTH', { name: 'P', alias: 1, type: 'Double', value: 1.5, timestamp: NOW });
    const value = (timestamp: number, isHistorical: boolean) => ({
      ...{ alias: 1, type: 'Double', value: 1.25, timestamp, isHistorical },
    });
    return { store, send, value };
  };
  const times = (): number[] => it.readings('gun-02', 'conveying/pressure').map(([time]) => time);

  test.each([
    ['of 1970', -NOW, 'before-2000'],
    ['ahead', 2 * HOUR, 'ahead-of-clock'],
  ])('%s lie in the quarantine and teach nothing of its clock', async (_, offMs, reason) => {
    const { store, send, value } = await born();
    for (let i = 0; i < 3; i++) {
      it.now = NOW + 1000 * i;
      const made = [0, 1, 2, 3, 4, 5].map((k) => value(NOW + offMs + 1000 * i + 100 * k + 1, true));
      await send('DDATA', ...made, value(NOW - HOUR + 1000 * i, true));
    }
    expect(store.quarantine.list().map((one) => one.reason)).toEqual([reason, reason, reason]);
    expect(times()).toEqual([0, 1000, 2000].map((after) => NOW - HOUR + after).concat(NOW));
    expect(store.clocks.list()).toEqual([]);
  });

  test('are kept where the clock that is known makes them right, and right ones beside them stay as they are', async () => {
    const { store, send, value } = await born();
    for (let i = 1; i <= 3; i++) {
      it.now = NOW + 1000 * i;
      await send('DDATA', ...[0, 1, 2, 3, 4].map((k) => value(1000 * i + k, false)));
    }
    const before = store.quarantine.list().length;
    it.now = NOW + 5000;
    await send('DDATA', value(2500, true), value(NOW - HOUR, true));
    const kept = times();
    // What is off least tells the offset: each pack's newest came as it was made, 4 ms later by its own clock.
    expect(kept).toContain(NOW + 2500 - 4);
    expect(kept).toContain(NOW - HOUR);
    expect(Math.max(...kept)).toBeLessThanOrEqual(NOW + 5000);
    expect(store.quarantine.list().length).toBe(before);
  });
});
