import { afterEach, beforeEach, describe, expect, test } from 'vitest';
import { type Broker, startBroker } from '../../../collector/broker/broker.ts';
import { OperationConfig } from '../../../collector/config.ts';
import { AppError } from '../../../collector/contract/index.ts';
import { senmlDecoder } from '../../../collector/decode/senml.ts';
import { Intake } from '../../../collector/intake/intake.ts';
import { SiteClocks } from '../../../collector/intake/site-clocks.ts';
import { silentLog } from '../../../collector/log.ts';
import { connectPacket, publishPacket, RawClient } from '../broker/raw-client.ts';
import { NOW, PLANT, pressures } from './collector-under-test.ts';
import { GatedWriter } from './gated-writer.ts';

let writer: GatedWriter;
let broker: Broker;
let intake: Intake;
const CONNACK = '20020000';
const GUN = 'airlines/hall-2/gun-01';
const NO_LONG_PACKS = { decode: () => Promise.reject(new Error('none is long')), stop: () => Promise.resolve() };
const pack = (id: number): Buffer => publishPacket(GUN, pressures([NOW - id, 1]), id);

beforeEach(async () => {
  writer = new GatedWriter();
  intake = new Intake({
    rules: {
      site: 'hall-2',
      stations: new Set(['gun-01']),
      translator: null,
      clocks: new SiteClocks(),
      decode: senmlDecoder(PLANT),
    },
    writer,
    longPacks: NO_LONG_PACKS,
    maxPendingBytes: 200,
    now: () => NOW,
    clock: () => performance.now(),
    log: silentLog,
    onDurable: () => undefined,
    onRoom: () => broker.resume(),
  });
  const limits = OperationConfig.parse({}).broker;
  broker = await startBroker({ port: 0, host: '127.0.0.1', root: 'airlines', limits, sink: intake, log: silentLog });
});
afterEach(async () => {
  await intake.stop();
  await broker.stop();
});

describe('while the store takes nothing', () => {
  test('nothing is acknowledged or read, and all of it once the store takes it again', async () => {
    const raw = new RawClient(broker.port);
    raw.send(connectPacket(), pack(1));
    await writer.reached(1);
    writer.fail(new AppError('DISK_FULL', 'no space left'));
    raw.send(pack(2), Buffer.of(0xc0, 0));
    await writer.reached(1);
    expect(intake.storing).toBe(false);
    expect(await raw.bytes(4)).toBe(CONNACK);
    expect(intake.counters.messages).toBe(0);
    writer.succeed();
    await writer.reached(1);
    writer.succeed();
    expect(await raw.bytes(14)).toMatch(new RegExp(`^${CONNACK}40020001(d00040020002|40020002d000)$`));
    expect(intake.storing).toBe(true);
    raw.socket.destroy();
  });
});

describe('while commits are slow', () => {
  test('no more is read than may wait, from however many connections', async () => {
    const clients = ['a', 'b', 'c', 'd', 'e', 'f'].map((id) => {
      const raw = new RawClient(broker.port);
      raw.send(connectPacket({ id }));
      return raw;
    });
    for (const raw of clients) await raw.bytes(4);
    for (const [index, raw] of clients.entries()) raw.send(pack(index + 1));
    await writer.reached(1);
    // Each pack has 57 bytes: the fourth reaches 200.
    while (!intake.saturated) await new Promise((resolve) => setImmediate(resolve));
    expect(intake.pendingBytes).toBeLessThan(200 + 60);
    for (let settled = 0; settled < 6; settled = intake.counters.messages) {
      await writer.reached(1);
      writer.succeed();
      await new Promise((resolve) => setImmediate(resolve));
    }
    for (const [index, raw] of clients.entries()) {
      expect(await raw.bytes(8)).toBe(`${CONNACK}4002000${index + 1}`);
      raw.socket.destroy();
    }
  });

  test('a pack that is sent again after a broken connection is committed and acknowledged again', async () => {
    const first = new RawClient(broker.port);
    first.send(connectPacket({ id: 'node', flags: 0 }), pack(7));
    await writer.reached(1);
    first.socket.destroy();
    const second = new RawClient(broker.port);
    const again = pack(7);
    again[0] = again[0]! | 0x08;
    second.send(connectPacket({ id: 'node', flags: 0 }), again);
    await writer.reached(2);
    writer.succeed();
    writer.succeed();
    expect(await second.bytes(8)).toBe('2002010040020007');
    expect(writer.committed.map(({ packs }) => packs?.[0]?.times)).toEqual([[NOW - 7], [NOW - 7]]);
    second.socket.destroy();
  });
});

test('a message that meets a fault of our own goes into the quarantine, and the intake goes on', async () => {
  await broker.stop();
  const faulty = new Intake({
    rules: {
      site: 'hall-2',
      stations: new Set(['gun-01']),
      translator: null,
      clocks: new SiteClocks(),
      decode: () => {
        throw new TypeError('a slip of ours');
      },
    },
    writer,
    longPacks: NO_LONG_PACKS,
    maxPendingBytes: 1000,
    now: () => NOW,
    clock: () => 0,
    log: silentLog,
    onDurable: () => undefined,
    onRoom: () => undefined,
  });
  const settled: boolean[] = [];
  const topic = { name: GUN, kind: 'readings', site: 'hall-2', station: 'gun-01' } as const;
  const origin = { settled: (_: unknown, accepted: boolean) => void settled.push(accepted) };
  faulty.take({ topic, loan: null, payload: Buffer.from('[]'), clientId: 'c', origin, packetId: 1 });
  await writer.reached(1);
  expect(settled).toEqual([]);
  writer.succeed();
  await faulty.drained();
  expect(settled).toEqual([false]);
  expect(writer.committed[0]?.refusals).toMatchObject([{ reason: 'fault-of-ours', detail: 'a slip of ours' }]);
});
