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
    const all = Array.from({ length: 199 }, () => connection('10.0.0.8'));
    expect(all[0]!.mayConnect).toBe(true);
    expect(connection('10.0.0.8').mayConnect).toBe(false);
    now += 1;
    expect(all[0]!.mayConnect).toBe(true);
    all[0]!.refusedConnect();
    all[1]!.refusedConnect();
    all[2]!.refusedConnect();
    expect(all[3]!.mayConnect).toBe(false);
    expect(connection('10.0.0.9').mayConnect).toBe(true);
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
