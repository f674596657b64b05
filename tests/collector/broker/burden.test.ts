import { afterEach, describe, expect, test, vi } from 'vitest';
import { Allowance } from '../../../collector/broker/allowance.ts';
import type { Broker } from '../../../collector/broker/broker.ts';
import { Burden } from '../../../collector/broker/burden.ts';
import type { BrokerLimits } from '../../../collector/broker/limits.ts';
import { networkOf, Peers } from '../../../collector/broker/peers.ts';
import { keepingTooMuch } from '../../../collector/broker/unfinished.ts';
import { GatedSink, gatedBroker } from './gated-broker.ts';
import { connectPacket, publishPacket, RawClient } from './raw-client.ts';
import { filtersPacket, joined } from './wire-client.ts';

let now = 0;
const peers = new Peers({ maxRefusedPerSecond: 100, maxConnectsPerSecond: 10 });
/** A loan of a pack of a connection of which nothing was refused, and of one let in by merit. */
const CREDIT = 0.05;
const MERIT = 0;
const connection = (address: string): Burden =>
  new Burden(() => now, new Allowance(50, now), peers.ofAddress(address, now));
/** Has so much refused. */
const refuse = (burden: Burden, worth: number): void => {
  const loan = burden.lends(worth);
  if (loan !== null) burden.refused(worth, loan);
};

describe('what a connection asks for that brings no readings', () => {
  test('is paid by it and by all of its address: a new connection has no more, but for some KiB of its own', () => {
    const rubbish = connection('10.0.0.1');
    refuse(rubbish, 200);
    expect(rubbish.lends(5)).toBeNull();
    const next = connection('10.0.0.1');
    expect(next.lends(5)).toBeNull();
    for (let pack = 0; pack < 4; pack++) refuse(next, 1);
    expect(next.lends(1)).toBeNull();
    expect(connection('10.0.0.2').lends(5)).toBe(CREDIT);
    now += 8;
    expect(connection('10.0.0.1').lends(5)).toBe(CREDIT);
    expect(rubbish.lends(5)).toBeNull();
  });

  test('is charged at once after a refusal, so that many under way cost no more than one', () => {
    now += 100_000;
    const [rubbish] = [connection('10.0.0.7')];
    refuse(rubbish, 5);
    let begun = 0;
    while (rubbish.lends(5) !== null) begun++;
    expect(begun).toBe(9);
  });

  test('does not hold up a neighbour behind the same address, but its long packs', () => {
    now += 1000;
    const [rubbish, good] = [connection('10.0.0.3'), connection('10.0.0.3')];
    for (let pack = 0; pack < 1000; pack++) good.accepted(1, good.lends(1)!);
    refuse(rubbish, 100_000);
    expect(good.may).toBe(false);
    for (let pack = 0; pack < 100; pack++) {
      expect(good.lends(1)).toBe(MERIT);
      good.accepted(1, MERIT);
    }
    expect(good.lends(64)).toBeNull();
    // Its own refusals cost it that.
    for (let pack = 0; pack < 32; pack++) refuse(good, 1);
    expect(good.lends(1)).toBeNull();
  });

  test('is the account’s once one has signed in, from wherever it comes', () => {
    now += 100_000;
    const [here, there] = [connection('10.0.0.4'), connection('10.0.0.5')];
    for (const one of [here, there]) one.signIn(peers.ofAccount('gun-01', now));
    refuse(here, 1000);
    expect(there.lends(5)).toBeNull();
    expect(connection('10.0.0.4').lends(5)).toBe(CREDIT);
  });

  test('is forgotten once it is paid off and nobody is connected', () => {
    now += 100_000;
    const gone = connection('10.0.0.6');
    refuse(gone, 300);
    gone.end();
    peers.sweep(now);
    expect(connection('10.0.0.6').lends(5)).toBeNull();
  });

  test('of connecting twenty seconds may come at once, and a refused CONNECT is two', () => {
    now += 100_000;
    const all = Array.from({ length: 200 }, () => connection('10.0.0.8'));
    expect(all.map((one) => one.connects(1))).not.toContain(false);
    const next = connection('10.0.0.8');
    expect(next.connects(1)).toBe(false);
    now += 1;
    expect(next.connects(1)).toBe(true);
    next.wasted();
    expect(all[0]!.connects(1)).toBe(true);
    expect(all[1]!.connects(1)).toBe(false);
    expect(connection('10.0.0.9').connects(1)).toBe(true);
  });

  test('is none of its neighbours’ where a connection brings no CONNECT', () => {
    now += 100_000;
    for (let n = 0; n < 1000; n++) connection('10.0.0.10').end();
    expect(connection('10.0.0.10').connects(1)).toBe(true);
  });

  test('is a long will’s from its CONNECT on, until it is let go or taken; short ones do not wait for it', () => {
    now += 100_000;
    const all = [1, 2, 3].map(() => connection('10.0.0.11'));
    expect(all.map((one) => one.connects(59))).toEqual([true, true, false]);
    expect(all[2]!.connects(4)).toBe(true);
    all[0]!.noWill();
    all[0]!.noWill();
    expect(connection('10.0.0.11').connects(59)).toBe(true);
    now += 1;
    all[1]!.refusedWill(59);
    expect(connection('10.0.0.11').connects(59)).toBe(true);
    expect(connection('10.0.0.11').connects(59)).toBe(false);
  });

  test('is what came of a packet that broke off, and of one that is whole what it is', () => {
    now += 100_000;
    const [whole, broken] = [connection('10.0.0.12'), connection('10.0.0.13')];
    for (const one of [whole, broken]) one.begins(900);
    for (const address of ['10.0.0.12', '10.0.0.13']) expect(connection(address).may).toBe(true);
    whole.whole();
    whole.brokenOff();
    broken.brokenOff();
    expect(connection('10.0.0.12').may).toBe(true);
    expect(connection('10.0.0.13').may).toBe(false);
  });

  test.each([
    ['192.168.7.9', '192.168.7.9'],
    ['::ffff:192.168.7.9', '192.168.7.9'],
    ['2001:db8:1:2:3:4:5:6', '2001:db8:1:2'],
    ['2001:db8::6', '2001:db8:0:0'],
    ['fe80::1%eth0', 'fe80:0:0:0'],
    ['::1', '0:0:0:0'],
  ])('the address %s is of the peer %s', (address, peer) => {
    expect(networkOf(address)).toBe(peer);
  });

  test('memory for packets that are not whole is taken from whoever has most, the longest first', () => {
    const [greedy, other] = [peers.ofAddress('10.1.0.1', now), peers.ofAddress('10.1.0.2', now)];
    const keeping = (unfinishedBytes: number, peer: typeof greedy) => ({ unfinishedBytes, burden: { peer } });
    const all = [keeping(50, greedy), keeping(60, greedy), keeping(90, other), keeping(0, other)];
    expect(keepingTooMuch(all, 200)).toEqual([]);
    expect(keepingTooMuch(all, 199)).toEqual([all[1]]);
    expect(keepingTooMuch(all, 100)).toEqual([all[1], all[0]]);
  });
});

describe('a broker beside a client that means ill', () => {
  let broker: Broker;
  const sink = new GatedSink();
  sink.open = true;
  const start = async (limits: Partial<BrokerLimits>): Promise<void> => {
    broker = await gatedBroker(sink, limits);
  };
  afterEach(() => broker.stop());

  test('takes the readings of others at once while one with ever new topics and client ids waits', async () => {
    await start({ maxRefusedPerSecond: 20, maxPacketBytes: 16_384 });
    const good = (await joined(broker.port, { id: 'good' })).client;
    await good.send(...[1, 2, 3].map((id) => publishPacket('airlines/h/g', 'x', id))).take(3);
    await good.send(...Array.from({ length: 30 }, (_, id) => publishPacket('airlines/h/g', 'x', id + 1))).take(30);
    sink.accept = false;
    const first = (await joined(broker.port, { id: 'ill' })).client;
    first.send(...Array.from({ length: 60 }, (_, n) => publishPacket(`airlines/h/new${n}`, 'x', n + 1)));
    await first.take(60);
    first.send(publishPacket('airlines/h/newest', 'x', 61));
    await vi.waitFor(() => expect(broker.counts().throttled).toBeGreaterThan(0));
    const next = new RawClient(broker.port);
    next.send(connectPacket({ id: 'ill again' }), publishPacket('airlines/h/g', Buffer.alloc(2000), 1));
    await next.bytes(4);
    const large = new RawClient(broker.port);
    const long = publishPacket('airlines/h/g', Buffer.alloc(6000), 2);
    large.send(connectPacket({ id: 'ill at last' }), long);
    sink.accept = true;
    expect(await good.send(publishPacket('airlines/h/g', 'x', 9)).take(1)).toEqual(['PUBACK #9']);
    expect(large.received.length).toBeLessThanOrEqual(4);
    expect(await first.take(1)).toEqual(['PUBACK #61']);
    expect(await large.bytes(8)).toBe('2002000040020002');
    large.socket.destroy();
    expect(await next.bytes(8)).toBe('2002000040020001');
    next.socket.destroy();
  });

  test('lets a newcomer in where connections that have not said CONNECT fill the house', async () => {
    await start({ maxConnections: 3 });
    const mute = [1, 2].map(() => new RawClient(broker.port));
    const { client } = await joined(broker.port, { id: 'one' });
    const { connack } = await joined(broker.port, { id: 'two' });
    expect(connack).toBe('CONNACK 0');
    await mute[0]!.untilEnd();
    expect(mute[1]!.ended).toBe(false);
    expect(await client.untilPong()).toEqual([]);
    mute[1]!.socket.destroy();
  });

  test('ends a connection whose CONNECT comes byte by byte for longer than the timeout', async () => {
    await start({ connectTimeoutS: 1 });
    const raw = new RawClient(broker.port);
    const drip = setInterval(() => raw.socket.write(Buffer.of(0x10)), 200);
    await raw.untilEnd();
    clearInterval(drip);
    expect(broker.counts().faulted).toBe(1);
  });

  test('sends what is retained for many filters in turns with what others ask', async () => {
    await start({ maxRetainedMessages: 3000, maxRefusedPerSecond: 1_000_000 });
    const { client } = await joined(broker.port, { id: 'keeps' });
    for (let from = 0; from < 3000; from += 500)
      await client
        .send(...Array.from({ length: 500 }, (_, n) => publishPacket(`k/${from + n}`, 'x', 0, 0x31)))
        .untilPong();
    const greedy = (await joined(broker.port, { id: 'greedy' })).client;
    greedy.send(filtersPacket(Array.from({ length: 100 }, (_, n) => [n % 2 ? '#' : `+/${n}`, 0] as const)));
    await greedy.take(1);
    expect(await client.untilPong()).toEqual([]);
    expect(await greedy.take(3050)).toHaveLength(3050);
  });

  test('takes as many filters of one client as messages of other topics, whether in one packet or in many', async () => {
    await start({ maxRefusedPerSecond: 100, maxRetainedMessages: 3000 });
    const { client } = await joined(broker.port, { id: 'asks' });
    const many = filtersPacket(Array.from({ length: 150 }, (_, n) => [`f/${n}`, 0] as const));
    expect(await client.send(...Array.from({ length: 5 }, () => many)).take(5)).not.toContain('closed');
    expect(broker.counts().throttled).toBeGreaterThan(0);
  });

  test('publishes the will of a client before it is let in again, and those of a whole hall in turns', async () => {
    await start({});
    const { client: watch } = await joined(broker.port, { id: 'watch' });
    await watch.send(filtersPacket([['away/#', 1]])).take(1);
    const hall = await Promise.all(
      Array.from({ length: 300 }, (_, n) =>
        joined(broker.port, { id: `node-${n}`, flags: 6, will: { topic: `away/${n}`, message: 'gone' } }),
      ),
    );
    for (const { client } of hall) client.socket.destroy();
    const { client: again } = await joined(broker.port, { id: 'node-299' });
    again.send(publishPacket('away/299', 'back', 0, 0x30));
    const told = await watch.take(301);
    expect(told.filter((one) => one.startsWith('PUBLISH away/299='))).toEqual([
      'PUBLISH away/299=gone q0',
      'PUBLISH away/299=back q0',
    ]);
    expect(new Set(told).size).toBe(301);
  });

  test('lets two thousand stations of one address in at once after a power cut, and more one after the other', async () => {
    await start({});
    const fields = (n: number) => ({
      id: `s-${n}`,
      flags: 6,
      will: { topic: `airlines/h/s-${n}/online`, message: 'false' },
    });
    const came = await Promise.all(Array.from({ length: 2000 }, (_, n) => joined(broker.port, fields(n))));
    expect(new Set(came.map(({ connack }) => connack))).toEqual(new Set(['CONNACK 0']));
    expect(broker.counts()).toMatchObject({ throttled: 0, refused: 0, connections: 2000 });
    for (const { client } of came) client.socket.destroy();
  });

  test('lets everybody in in turn where one address connects more often than it may', async () => {
    await start({ maxConnectsPerSecond: 2 });
    const came = await Promise.all(Array.from({ length: 42 }, (_, n) => joined(broker.port, { id: `s-${n}` })));
    expect(new Set(came.map(({ connack }) => connack))).toEqual(new Set(['CONNACK 0']));
    expect(broker.counts().throttled).toBeGreaterThan(0);
    for (const { client } of came) client.socket.destroy();
  });

  test('reads no more of a long packet than it must while its address owes for others that broke off', async () => {
    await start({ maxRefusedPerSecond: 40, maxPacketBytes: 4_000_000 });
    const head = Buffer.of(0x30, 0x80, 0x89, 0x7a);
    const { client: first } = await joined(broker.port, { id: 'breaks off' });
    first.send(head, Buffer.alloc(1_000_000));
    await vi.waitFor(() => expect(broker.counts().throttled).toBeGreaterThan(0), 5000);
    await first.cut();
    await vi.waitFor(() => expect(broker.counts().connections).toBe(0), 10_000);
    const throttled = broker.counts().throttled;
    const { client: good } = await joined(broker.port, { id: 'good' });
    expect(await good.send(publishPacket('airlines/h/g', 'x', 9)).take(1)).toEqual(['PUBACK #9']);
    const { client: next } = await joined(broker.port, { id: 'begins' });
    next.send(head, Buffer.alloc(70_000));
    await vi.waitFor(() => expect(broker.counts().throttled).toBeGreaterThan(throttled), 5000);
  });

  test('drops messages of QoS 0 for clients that do not read them, once all together leave too much', async () => {
    await start({ maxUnreadBytesOfAll: 65_536, maxPacketBytes: 1_000_000, maxRefusedPerSecond: 1_000_000 });
    for (const id of ['deaf 1', 'deaf 2', 'deaf 3']) {
      const { client } = await joined(broker.port, { id });
      await client.send(filtersPacket([['big', 0]])).take(1);
      client.socket.pause();
    }
    const { client } = await joined(broker.port, { id: 'loud' });
    for (let n = 0; n < 40; n++) await client.send(publishPacket('big', Buffer.alloc(500_000), 0, 0x30)).untilPong();
    expect(broker.counts().notForwarded).toBeGreaterThan(20);
    expect(broker.counts().faulted).toBe(0);
  });
});
