import mqtt from 'mqtt';
import { afterEach, beforeEach, describe, expect, test } from 'vitest';
import type { Broker } from '../../../collector/broker/broker.ts';
import { GatedSink, gatedBroker } from './gated-broker.ts';
import { answerOf, connectPacket, RawClient, subscribePacket } from './raw-client.ts';

// Statement numbers: MQTT 3.1.1, OASIS Standard, 29 October 2014, appendix B.
let broker: Broker;
let sink: GatedSink;
const CONNACK = '20020000';

beforeEach(async () => {
  sink = new GatedSink();
  sink.open = true;
  broker = await gatedBroker(sink);
});
afterEach(() => broker.stop());

const answer = (...packets: Buffer[]): Promise<string> => answerOf(broker.port, ...packets);

describe('limits', () => {
  const restart = async (limits: Parameters<typeof gatedBroker>[1]): Promise<void> => {
    await broker.stop();
    broker = await gatedBroker(sink, limits);
  };

  test('connections over the limit are dropped, and taken again when one has left', async () => {
    await restart({ maxConnections: 1 });
    const first = new RawClient(broker.port);
    first.send(connectPacket());
    await first.bytes(4);
    expect(await answer(connectPacket({ id: 'second' }))).toBe('');
    expect(broker.counts()).toMatchObject({ refused: 1, connections: 1 });
    first.send(Buffer.of(0xe0, 0));
    await first.untilEnd();
    const third = new RawClient(broker.port);
    third.send(connectPacket({ id: 'third' }));
    expect(await third.bytes(4)).toBe(CONNACK);
    third.socket.destroy();
  });

  test('a connection without CONNECT ends after the timeout', async () => {
    await restart({ connectTimeoutS: 1 });
    expect(await answer(connectPacket().subarray(0, 5))).toBe('');
  });

  // [MQTT-3.1.2-24]: one and a half times the keep-alive; ours may take up to two seconds more.
  test('a client that is silent for longer than its keep-alive allows is ended and its will published', async () => {
    const silent = new RawClient(broker.port);
    silent.send(
      connectPacket({
        id: 'silent',
        keepAliveS: 1,
        flags: 6,
        will: { topic: 'airlines/h/g/online', message: 'false' },
      }),
    );
    const talking = new RawClient(broker.port);
    talking.send(connectPacket({ id: 'talking', keepAliveS: 1 }));
    const pings = setInterval(() => talking.send(Buffer.of(0xc0, 0)), 400);
    expect(await silent.untilEnd()).toBe(CONNACK);
    await sink.reached(1);
    clearInterval(pings);
    expect(sink.texts()).toEqual(['airlines/h/g/online false']);
    expect(talking.ended).toBe(false);
    talking.socket.destroy();
  });

  test('sessions over the limit are refused with return code 3', async () => {
    await restart({ maxSessions: 1 });
    const kept = new RawClient(broker.port);
    kept.send(connectPacket({ id: 'kept', flags: 0 }));
    await kept.bytes(4);
    expect(await answer(connectPacket({ id: 'more', flags: 0 }))).toBe('20020003');
    kept.socket.destroy();
  });

  test('a client that does not read what it subscribed to is cut off', async () => {
    await restart({ maxUnreadBytes: 65_536, maxPacketBytes: 65_536 });
    const deaf = new RawClient(broker.port);
    deaf.send(connectPacket({ id: 'deaf' }), subscribePacket('flood', 0));
    await deaf.bytes(9);
    deaf.socket.pause();
    const sender = await mqtt.connectAsync(`mqtt://127.0.0.1:${broker.port}`, { protocolVersion: 4 });
    const block = Buffer.alloc(60_000);
    while (broker.counts().connections > 1) await sender.publishAsync('flood', block, { qos: 1 });
    expect(broker.counts().faulted).toBe(1);
    await sender.endAsync();
    deaf.socket.destroy();
  });

  test('retained messages of other topics are bounded in number, ours are not', async () => {
    await restart({ maxRetainedMessages: 2 });
    const one = await mqtt.connectAsync(`mqtt://127.0.0.1:${broker.port}`, { protocolVersion: 4 });
    for (const topic of ['a', 'b', 'c']) await one.publishAsync(topic, 'x', { qos: 1, retain: true });
    broker.publishRetained('airlines/h/g/condition', Buffer.from('{}'));
    const heard: string[] = [];
    one.on('message', (topic) => heard.push(topic));
    await one.subscribeAsync('#', { qos: 1 });
    while (!heard.includes('airlines/h/g/condition')) await new Promise((resolve) => one.once('message', resolve));
    await one.publishAsync('end', '', { qos: 1 });
    while (!heard.includes('end')) await new Promise((resolve) => one.once('message', resolve));
    expect(heard.sort()).toEqual(['a', 'airlines/h/g/condition', 'b', 'end']);
    expect(broker.counts().notRetained).toBe(1);
    await one.endAsync();
  });
});
