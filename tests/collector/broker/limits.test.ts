import { afterEach, beforeEach, describe, expect, test } from 'vitest';
import { Allowance, SWEEPS_PER_SECOND } from '../../../collector/broker/allowance.ts';
import type { Broker } from '../../../collector/broker/broker.ts';
import type { BrokerLimits } from '../../../collector/broker/limits.ts';
import { GatedSink, gatedBroker } from './gated-broker.ts';
import { connectPacket, publishPacket, RawClient } from './raw-client.ts';
import { answerPacket, filtersPacket, joined, type WireClient } from './wire-client.ts';

let broker: Broker;
let sink: GatedSink;
const start = async (limits: Partial<BrokerLimits>): Promise<void> => {
  broker = await gatedBroker(sink, limits);
};
beforeEach(() => {
  sink = new GatedSink();
  sink.open = true;
});
afterEach(() => broker.stop());

const publishes = (topic: string, count: number): Buffer[] =>
  Array.from({ length: count }, (_, index) => publishPacket(topic, 'x', index + 1));
const acknowledged = async (client: WireClient, count: number): Promise<string[]> => client.take(count);

describe('limits of one client', () => {
  test('a station that sends too many messages is read on later, and loses none', async () => {
    await start({ maxMessagesPerSecond: 20 });
    const { client } = await joined(broker.port, { id: 'fast' });
    const began = performance.now();
    client.send(...publishes('airlines/h/g', 30));
    expect(await acknowledged(client, 30)).toHaveLength(30);
    expect(sink.taken).toHaveLength(30);
    expect(broker.counts().throttled).toBeGreaterThan(0);
    // Ten more than a second's worth take two refills of five; the first may come at once.
    expect(performance.now() - began).toBeGreaterThan(200);
  });

  test('a station whose messages are refused is read more slowly, and all of them are acknowledged', async () => {
    sink.accept = false;
    await start({ maxRefusedPerSecond: 20 });
    const { client } = await joined(broker.port, { id: 'rubbish' });
    client.send(...publishes('airlines/h/g', 40));
    expect(await acknowledged(client, 40)).toHaveLength(40);
    // One connection may have half of it refused, and has had more: another topic is of no use to it.
    client.send(publishPacket('airlines/h/g', 'x', 41), publishPacket('airlines/h/other', 'x', 42));
    expect(await acknowledged(client, 2)).toHaveLength(2);
    expect(broker.counts().throttled).toBeGreaterThan(0);
  });

  test('the same number for two stations of a gateway is within the limit', async () => {
    await start({ maxMessagesPerSecond: 20 });
    const { client } = await joined(broker.port, { id: 'gateway' });
    client.send(...publishes('airlines/h/g1', 20), ...publishes('airlines/h/g2', 20));
    await acknowledged(client, 40);
    expect(broker.counts().throttled).toBe(0);
  });

  test('filters over the limit are refused, a known one may be asked for again', async () => {
    await start({ maxSubscriptions: 2 });
    const { client } = await joined(broker.port);
    client.send(
      filtersPacket([
        ['a', 0],
        ['b', 0],
        ['c', 0],
        ['a', 1],
      ]),
      filtersPacket([['b', null]], 2),
      filtersPacket([['c', 1]], 3),
    );
    expect(await client.take(3)).toEqual(['SUBACK #1 0 0 128 1', 'UNSUBACK #2', 'SUBACK #3 1']);
  });

  test.each([
    ['bytes of a topic', { maxTopicBytes: 20 }, 'elsewhere/'.padEnd(20, 'x'), 'elsewhere/'.padEnd(21, 'x')],
    ['levels of a topic', { maxTopicLevels: 3 }, 'a/b/c', 'a/b/c/d'],
  ])('%s up to the limit are taken, one more ends the connection', async (_, limits, longest, beyond) => {
    await start(limits);
    const { client } = await joined(broker.port, { id: 'long' });
    client.send(filtersPacket([[longest, 1]]), filtersPacket([[beyond, 1]]), publishPacket(longest, 'x'));
    expect((await client.untilPong()).sort()).toEqual([
      'PUBACK #1',
      `PUBLISH ${longest}=x q1 #1`,
      'SUBACK #1 1',
      'SUBACK #1 128',
    ]);
    expect(await client.send(publishPacket(beyond, 'x')).take(1)).toEqual(['closed']);
  });

  test('a client id up to the limit is taken, a longer one gets return code 2', async () => {
    await start({ maxClientIdBytes: 30 });
    const raw = async (id: string): Promise<string> => {
      const client = new RawClient(broker.port);
      client.send(connectPacket({ id }), Buffer.of(0xe0, 0));
      return client.untilEnd();
    };
    expect(await raw('x'.repeat(30))).toBe('20020000');
    expect(await raw('x'.repeat(31))).toBe('20020002');
  });

  test('no more bytes of one client wait for their commit than the limit, one message apart', async () => {
    sink.open = false;
    await start({ maxWaitingBytes: 1000 });
    const { client } = await joined(broker.port, { id: 'much' });
    client.send(...[1, 2, 3, 4, 5].map((id) => publishPacket('airlines/h/g', 'x'.repeat(400), id)));
    await sink.reached(3);
    // What goes past the intake is held behind them, so that nothing overtakes.
    expect(sink.taken).toHaveLength(3);
    sink.open = true;
    sink.settle();
    expect(await client.take(5)).toHaveLength(5);
  });

  test('what is retained beyond the bytes for it is forwarded and not kept', async () => {
    await start({ maxRetainedBytes: 300 });
    const { client } = await joined(broker.port, { id: 'keeps' });
    const retain = (topic: string): Buffer => publishPacket(topic, 'x'.repeat(200), 0, 0x31);
    await client.send(filtersPacket([['b', 0]]), retain('a'), retain('b')).untilPong();
    expect(
      await client
        .send(
          filtersPacket([
            ['a', 0],
            ['b', 0],
          ]),
        )
        .untilPong(),
    ).toEqual(['SUBACK #1 0 0', `PUBLISH a=${'x'.repeat(200)} q0 retained`]);
  });

  test('what does not fit takes the older one away with it [MQTT-3.3.1-7]', async () => {
    await start({ maxRetainedBytes: 300 });
    const { client } = await joined(broker.port, { id: 'keeps' });
    const retain = (length: number): Buffer => publishPacket('a', 'x'.repeat(length), 0, 0x31);
    expect(await client.send(retain(200), retain(301), filtersPacket([['a', 0]])).untilPong()).toEqual(['SUBACK #1 0']);
    expect(await client.send(retain(300), filtersPacket([['a', 0]])).untilPong()).toHaveLength(3);
  });

  test('messages that are not acknowledged wait in the queue beyond the limit, in order, and then come', async () => {
    await start({ maxInFlightMessages: 2 });
    const { client } = await joined(broker.port, { id: 'slow' });
    client.send(filtersPacket([['t', 1]]));
    const sender = await joined(broker.port, { id: 'sender' });
    await sender.client.send(...publishes('t', 4)).untilPong();
    expect(await client.untilPong()).toEqual(['SUBACK #1 1', 'PUBLISH t=x q1 #1', 'PUBLISH t=x q1 #2']);
    expect(await client.send(answerPacket(4, 1)).untilPong()).toEqual(['PUBLISH t=x q1 #3']);
    expect(await client.send(answerPacket(4, 3), answerPacket(4, 2)).untilPong()).toEqual(['PUBLISH t=x q1 #4']);
  });

  test('what neither fits in flight nor in the queue is dropped and counted', async () => {
    await start({ maxInFlightMessages: 1, maxQueuedMessages: 2 });
    const { client } = await joined(broker.port, { id: 'slow' });
    client.send(filtersPacket([['t', 1]]));
    const sender = await joined(broker.port, { id: 'sender' });
    await sender.client.send(...publishes('t', 5)).untilPong();
    expect(await client.untilPong()).toHaveLength(2);
    expect(broker.counts().notForwarded).toBe(2);
  });

  test('packet identifiers in use are passed over when their numbers come round [MQTT-2.3.1-2]', async () => {
    await start({ maxQueuedMessages: 10, maxRefusedPerSecond: 1_000_000 });
    const { client } = await joined(broker.port, { id: 'keeps one' });
    client.send(filtersPacket([['t', 1]]));
    await client.take(1);
    const sender = await joined(broker.port, { id: 'sender' });
    let seen = 0;
    // The first identifier stays unacknowledged while all others go round once.
    while (seen < 65_536) {
      await sender.client.send(...publishes('t', 500)).untilPong();
      const ids = (await client.untilPong()).map((words) => Number(/#(\d+)/.exec(words)?.[1]));
      expect(ids.slice(seen === 0 ? 1 : 0)).not.toContain(1);
      client.send(...ids.filter((id) => id !== 1).map((id) => answerPacket(4, id)));
      seen += ids.length;
    }
    expect(broker.counts().notForwarded).toBe(0);
  });

  test('a client that never releases its QoS 2 messages is ended', async () => {
    await start({ maxInFlightMessages: 3 });
    const { client } = await joined(broker.port, { id: 'half' });
    client.send(...[1, 2, 3, 4].map((id) => publishPacket('t', 'x', id, 0x34)));
    expect((await client.take(4)).at(-1)).toBe('closed');
    expect(broker.counts().faulted).toBe(1);
  });

  test('one that floods gets no more than its share of each turn of the event loop', async () => {
    await start({ maxWaitingMessages: 65_535, maxPacketBytes: 4096 });
    let inTurn = 0;
    let most = 0;
    const take = sink.take.bind(sink);
    sink.take = (delivery) => {
      if (inTurn++ === 0) setImmediate(() => ([most, inTurn] = [Math.max(most, inTurn), 0]));
      take(delivery);
    };
    const flood = await joined(broker.port, { id: 'flood' });
    const blocks = Array.from({ length: 3000 }, (_, index) =>
      publishPacket('airlines/h/flood', Buffer.alloc(1000), index + 1),
    );
    await flood.client.send(...blocks).take(3000);
    expect(sink.taken).toHaveLength(3000);
    // 20 KiB of what has been read, and of what is read then, in packets of 1 kB.
    expect(most).toBeLessThanOrEqual(45);
  });
});

describe('limits of all clients together', () => {
  test('what waits for them is bounded, and there is room again when a session ends', async () => {
    // Room for two messages of a byte, each with 200 bytes of its own.
    await start({ maxUnreadBytesOfAll: 402 });
    const { client: one } = await joined(broker.port, { id: 'one', flags: 0 });
    await one.send(filtersPacket([['t', 1]])).untilPong();
    await one.cut();
    const { client: other } = await joined(broker.port, { id: 'other' });
    await other.send(filtersPacket([['t', 1]])).untilPong();
    const sender = await joined(broker.port, { id: 'sender' });
    await sender.client.send(...publishes('t', 2)).untilPong();
    // The first message took the room, once for each of the two clients.
    expect(await other.untilPong()).toEqual(['PUBLISH t=x q1 #1']);
    expect(broker.counts().notForwarded).toBe(2);
    await joined(broker.port, { id: 'one' });
    await sender.client.send(...publishes('t', 1)).untilPong();
    expect(await other.untilPong()).toEqual(['PUBLISH t=x q1 #2']);
    await other.send(answerPacket(4, 1)).untilPong();
    await sender.client.send(...publishes('t', 1)).untilPong();
    expect(await other.untilPong()).toEqual(['PUBLISH t=x q1 #3']);
    expect(broker.counts().notForwarded).toBe(2);
  });

  test('filters over the limit are refused, also when each has few', async () => {
    await start({ maxSubscriptionsOfAll: 2 });
    const { client: one } = await joined(broker.port, { id: 'one' });
    const { client: two } = await joined(broker.port, { id: 'two' });
    expect(await one.send(filtersPacket([['a', 0]])).take(1)).toEqual(['SUBACK #1 0']);
    expect(
      await two
        .send(
          filtersPacket([
            ['a', 0],
            ['b', 0],
            ['a', 1],
          ]),
        )
        .take(1),
    ).toEqual(['SUBACK #1 0 128 1']);
    await one.leave();
    expect(await two.send(filtersPacket([['b', 0]])).take(1)).toEqual(['SUBACK #1 0']);
  });
});

describe('an allowance', () => {
  test('gives a second of messages at once, then what has been refilled, never more than a second', () => {
    const allowance = new Allowance(8, 0);
    const taken = (sweep: number): number => {
      let count = 0;
      while (allowance.take(sweep, 300)) count++;
      return count;
    };
    expect(taken(0)).toBe(8);
    expect(taken(0)).toBe(0);
    expect(taken(1)).toBe(2);
    expect(taken(1000 * SWEEPS_PER_SECOND)).toBe(8);
  });

  test('counts a long message as several, lets it overdraw, and has it paid off first', () => {
    const allowance = new Allowance(8, 0);
    expect(allowance.take(0, 12 * 1024)).toBe(true);
    expect(allowance.take(1, 1)).toBe(false);
    expect(allowance.take(2, 1)).toBe(false);
    expect(allowance.take(3, 1)).toBe(true);
  });

  test('is spent beyond what is left, and gives back no more than a second has', () => {
    const allowance = new Allowance(8, 0);
    allowance.spend(0, 10);
    expect(allowance.has(0)).toBe(false);
    expect(allowance.has(1)).toBe(false);
    expect(allowance.has(2)).toBe(true);
    allowance.spend(2, -100);
    expect(allowance.isWhole(2)).toBe(true);
    allowance.spend(2, 8);
    expect(allowance.has(2)).toBe(false);
  });
});
