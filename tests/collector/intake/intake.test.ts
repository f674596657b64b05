import { afterEach, beforeEach, describe, expect, test } from 'vitest';
import type { GunCondition } from '../../../collector/contract/index.ts';
import type { ClockReport } from '../../../collector/intake/clock-report.ts';
import type { StationCommitted } from '../../../collector/intake/collector.ts';
import { CollectorUnderTest, NOW, pressures } from './collector-under-test.ts';

let under: CollectorUnderTest;
const GUN = 'airlines/hall-2/gun-01';

beforeEach(async () => {
  under = new CollectorUnderTest();
  await under.start();
});
afterEach(() => under.end());

const refusals = (): [topic: string, reason: string][] =>
  under.collector.store.quarantine
    .list()
    .map(({ topic, reason }): [string, string] => [topic, reason])
    .reverse();

describe('readings', () => {
  test('that are acknowledged can be read from the store at once', async () => {
    const client = await under.client();
    await client.publishAsync(GUN, pressures([NOW - 2000, 1.5], [NOW - 1000, 1.6]), { qos: 1 });
    expect(under.readings('gun-01', 'conveying/pressure')).toEqual([
      [NOW - 2000, 1.5],
      [NOW - 1000, 1.6],
    ]);
  });

  test('come out in order of time however their packs were shuffled, late and repeated', async () => {
    const client = await under.client();
    const times = [5, 1, 4, 1, 3, 2, 5].map((second) => NOW - 86_400_000 + 1000 * second);
    for (const time of times) await client.publishAsync(GUN, pressures([time, (time % 10_000) / 1000]), { qos: 1 });
    expect(under.readings('gun-01', 'conveying/pressure').map(([time]) => time)).toEqual([...new Set(times)].sort());
    expect(under.collector.store.readings.counts('gun-01')).toMatchObject({
      readings: 5,
      duplicates: { 'conveying/pressure': 2 },
      conflicts: {},
    });
  });

  test('that contradict an earlier one leave it and are counted', async () => {
    const client = await under.client();
    await client.publishAsync(GUN, pressures([NOW, 1.5]), { qos: 1 });
    await client.publishAsync(GUN, pressures([NOW, 1.7]), { qos: 1 });
    expect(under.readings('gun-01', 'conveying/pressure')).toEqual([[NOW, 1.5]]);
    expect(under.collector.store.readings.counts('gun-01').conflicts).toEqual({ 'conveying/pressure': 1 });
  });

  test('of QoS 0 and QoS 2 are kept too', async () => {
    const client = await under.client();
    await client.publishAsync(GUN, pressures([NOW - 1, 1]), { qos: 0 });
    await client.publishAsync(GUN, pressures([NOW, 2]), { qos: 2 });
    expect(under.readings('gun-01', 'conveying/pressure')).toEqual([
      [NOW - 1, 1],
      [NOW, 2],
    ]);
  });

  // Source: DIN 1343:1990 at 0 °C and 1013.25 hPa; ISO 8778:2003 at 20 °C and 1000 hPa.
  test('are converted by unit and by the reference state of the plant file', async () => {
    const client = await under.client();
    const pack = [
      { bt: NOW / 1000, n: 'conveying/flow', u: 'L/min', v: 100 },
      { n: 'powder/output', u: 'kg/h', v: 12 },
    ];
    await client.publishAsync(GUN, JSON.stringify(pack), { qos: 1 });
    expect(under.readings('gun-01', 'conveying/flow')[0]![1]).toBeCloseTo((6 * 273.15 * 1000) / (293.15 * 1013.25), 3);
    expect(under.readings('gun-01', 'powder/output')[0]![1]).toBeCloseTo(200, 1);
  });

  test('are told to listeners by station, with oldest and newest time, once durable', async () => {
    const told: StationCommitted[] = [];
    const off = under.collector.on('committed', (stations) => told.push(...stations));
    const client = await under.client();
    await client.publishAsync('airlines/hall-2/dryer-out', `[{"n":"supply/pressure","v":6.1,"t":${NOW / 1000 - 30}}]`, {
      qos: 1,
    });
    await client.publishAsync(GUN, pressures([NOW - 5000, 1], [NOW - 9000, 1]), { qos: 1 });
    off();
    await client.publishAsync(GUN, pressures([NOW, 1]), { qos: 1 });
    expect(told).toEqual([
      { station: 'dryer-out', minTime: NOW - 30_000, maxTime: NOW - 30_000, readings: 1, receivedAt: NOW },
      { station: 'gun-01', minTime: NOW - 9000, maxTime: NOW - 5000, readings: 2, receivedAt: NOW },
    ]);
  });

  test('are counted, with the messages that brought them', async () => {
    const client = await under.client();
    await client.publishAsync(GUN, pressures([NOW, 1], [NOW - 1, 1]), { qos: 1 });
    await client.publishAsync(GUN, 'junk', { qos: 1 });
    const { intake, broker, pendingBytes, storing } = under.collector.counts();
    expect(intake).toMatchObject({ messages: 2, readings: 2 });
    expect([...intake.refused]).toEqual([['not-json', 1]]);
    expect(intake.commits).toBeGreaterThan(0);
    expect(broker).toMatchObject({ acknowledged: 2, connections: 1 });
    expect([pendingBytes, storing]).toEqual([0, true]);
  });
});

describe('the latest readings of a station', () => {
  test('are there with their times, and again after a restart', async () => {
    const client = await under.client();
    await client.publishAsync(GUN, pressures([NOW - 400_000, 1.4], [NOW - 3000, 1.5]), { qos: 1 });
    await client.publishAsync(GUN, `[{"n":"powder/id","vs":"white","t":${(NOW - 60_000) / 1000}}]`, { qos: 1 });
    const pressure = { channel: 'conveying/pressure', time: NOW - 3000, value: 1.5 };
    const powder = { channel: 'powder/id', time: NOW - 60_000, value: 'white' };
    expect(under.collector.latest('gun-01')).toMatchObject({
      readings: [
        { ...pressure, receivedAt: NOW },
        { ...powder, receivedAt: NOW },
      ],
      newestTime: NOW - 3000,
      newestReceivedAt: NOW,
      online: null,
    });
    expect(under.collector.latest('gun-02')).toMatchObject({ readings: [], newestTime: null });
    expect(under.collector.latest('gun-99')).toBeNull();
    const again = await under.restart();
    expect(again.latest('gun-01')).toMatchObject({ readings: [pressure, powder], newestTime: NOW - 3000 });
  });
});

describe('what is refused', () => {
  test('goes into the quarantine with its reason and is acknowledged', async () => {
    const client = await under.client();
    const send = (topic: string, payload: string): Promise<unknown> => client.publishAsync(topic, payload, { qos: 1 });
    await send(GUN, 'not json');
    await send(GUN, '{"n":"conveying/pressure","v":1}');
    await send('airlines/hall-3/gun-01', pressures([NOW, 1]));
    await send('airlines/hall-2/gun-77', pressures([NOW, 1]));
    await send('airlines/hall-2/gun-01/condition', '{}');
    await send('airlines/hall-2/gun-01/other', '1');
    await send('airlines/hall-2', '1');
    await send('airlines/hall-2/gun-01/online', 'yes');
    expect(refusals()).toEqual([
      [GUN, 'not-json'],
      [GUN, 'not-senml'],
      ['airlines/hall-3/gun-01', 'unknown-site'],
      ['airlines/hall-2/gun-77', 'unknown-station'],
      ['airlines/hall-2/gun-01/condition', 'topic-not-allowed'],
      ['airlines/hall-2/gun-01/other', 'unknown-topic'],
      ['airlines/hall-2', 'unknown-topic'],
      ['airlines/hall-2/gun-01/online', 'not-an-online-state'],
    ]);
    expect(under.collector.store.quarantine.list()[3]).toMatchObject({
      receivedAt: NOW,
      detail: 'conditions are published by driftline alone',
      payloadBytes: 2,
    });
    expect(under.collector.store.readings.stations()).toEqual([]);
  });

  test('record by record leaves the good records of the pack', async () => {
    const client = await under.client();
    const pack = [
      { bt: NOW / 1000, n: 'conveying/pressure', v: 1.5 },
      { n: 'conveying/pressure', t: -1, v: 99 },
      { n: 'conveying/humidity', v: 1 },
      { n: 'conveying/flow', u: 'furlong', v: 1 },
      { n: 'conveying/flow', u: 'kg', v: 1 },
    ];
    await client.publishAsync(GUN, JSON.stringify(pack), { qos: 1 });
    expect(under.readings('gun-01', 'conveying/pressure')).toEqual([[NOW, 1.5]]);
    expect(refusals().map(([, reason]) => reason)).toEqual([
      'out-of-range',
      'unknown-channel',
      'unknown-unit',
      'wrong-dimension',
    ]);
  });

  test('of QoS 0 is kept in the quarantine too', async () => {
    const client = await under.client();
    await client.publishAsync(GUN, 'junk', { qos: 0 });
    await client.publishAsync(GUN, pressures([NOW, 1]), { qos: 1 });
    expect(refusals()).toEqual([[GUN, 'not-json']]);
  });
});

describe('readings ahead of the clock', () => {
  test.each([
    [300_000, 1, 0],
    [300_001, 0, 1],
  ])('by %i ms: kept %i, put aside %i', async (ahead, kept, aside) => {
    const client = await under.client();
    await client.publishAsync(GUN, pressures([NOW + ahead, 1]), { qos: 1 });
    expect(under.readings('gun-01', 'conveying/pressure')).toHaveLength(kept);
    expect(refusals()).toHaveLength(aside);
  });

  test('are put aside whole, reported, and leave the rest of their pack alone', async () => {
    const reports: ClockReport[] = [];
    under.collector.on('clock', (all) => reports.push(...all));
    const client = await under.client();
    const future = NOW + 3_600_000;
    const rows = Array.from({ length: 300 }, (_, index): [number, number] => [
      future + 1000 * index,
      (1000 + index) / 1000,
    ]);
    await client.publishAsync(GUN, pressures([NOW, 1.5], ...rows), { qos: 1 });
    expect(under.readings('gun-01', 'conveying/pressure')).toEqual([[NOW, 1.5]]);
    const aside = under.collector.store.quarantine.list({ reason: 'ahead-of-clock' }).reverse();
    const records = aside.flatMap(
      ({ payload }) => JSON.parse(Buffer.from(payload).toString()) as { t: number; v: number }[],
    );
    expect(records.map(({ t, v }) => [Math.round(1000 * t), v])).toEqual(rows);
    expect(reports).toEqual([{ station: 'gun-01', receivedAt: NOW, claimedTime: future, count: 300 }]);
  });
});

describe('online states and conditions', () => {
  const condition: GunCondition = {
    id: 'gun-01',
    name: 'gun-01',
    state: 'good',
    ageSeconds: 1,
    asOf: null,
    findings: [],
  };
  const retained = async (filter: string, count: number): Promise<string[]> => {
    const client = await under.client();
    const heard: string[] = [];
    const all = new Promise<void>((resolve) =>
      client.on('message', (topic, payload, { retain }) => {
        heard.push(`${topic} ${payload} ${retain}`);
        if (heard.length === count) resolve();
      }),
    );
    await client.subscribeAsync(filter, { qos: 1 });
    await all;
    return heard.sort();
  };

  test('are retained again after a restart', async () => {
    const client = await under.client();
    await client.publishAsync('airlines/hall-2/gun-01/online', 'true', { qos: 1, retain: true });
    await client.publishAsync('airlines/hall-2/gun-02/online', 'true', { qos: 1, retain: true });
    await client.publishAsync('airlines/hall-2/gun-02/online', 'false', { qos: 1, retain: true });
    await under.collector.publishCondition('gun-01', condition);
    await under.collector.publishCondition('gun-of-an-earlier-plant-file', condition);
    await under.restart();
    expect(under.collector.latest('gun-01')?.online).toBe(true);
    expect(under.collector.latest('gun-02')?.online).toBe(false);
    expect(await retained('airlines/#', 3)).toEqual([
      `airlines/hall-2/gun-01/condition ${JSON.stringify(condition)} true`,
      'airlines/hall-2/gun-01/online true true',
      'airlines/hall-2/gun-02/online false true',
    ]);
  });

  test('the will of a node makes its station offline', async () => {
    const states: boolean[] = [];
    const offline = new Promise<void>((resolve) =>
      under.collector.on('online', (all) => {
        states.push(...all.map(({ online }) => online));
        if (states.length === 2) resolve();
      }),
    );
    const will = {
      topic: 'airlines/hall-2/gun-01/online',
      payload: Buffer.from('false'),
      qos: 1,
      retain: true,
    } as const;
    const node = await under.client({ will });
    await node.publishAsync('airlines/hall-2/gun-01/online', 'true', { qos: 1, retain: true });
    node.stream.destroy();
    await offline;
    expect(states).toEqual([true, false]);
    expect(under.collector.store.broker.online()).toEqual([{ station: 'gun-01', online: false, at: NOW }]);
  });

  test('a condition is published as retained with QoS 1', async () => {
    const client = await under.client();
    await client.subscribeAsync('airlines/hall-2/+/condition', { qos: 1 });
    const heard = new Promise<string>((resolve) =>
      client.on('message', (_, payload, { qos }) => resolve(`${payload} ${qos}`)),
    );
    await under.collector.publishCondition('gun-01', condition);
    expect(await heard).toBe(`${JSON.stringify(condition)} 1`);
  });
});

test('a stop acknowledges what was taken, may be called twice, and frees port and folder', async () => {
  const client = await under.client();
  const sent = Promise.all([1, 2, 3].map((n) => client.publishAsync(GUN, pressures([NOW - n, n]), { qos: 1 })));
  await sent;
  const { port } = under.collector;
  await Promise.all([under.collector.stop(), under.collector.stop()]);
  await under.start();
  expect(under.readings('gun-01', 'conveying/pressure')).toHaveLength(3);
  expect(port).toBeGreaterThan(0);
});
