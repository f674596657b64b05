import fc from 'fast-check';
import mqtt from 'mqtt';
import { afterEach, beforeEach, describe, expect, test } from 'vitest';
import type { Broker } from '../../../collector/broker/broker.ts';
import { GatedSink, gatedBroker } from './gated-broker.ts';
import { answerOf, connectPacket, packet, publishPacket, RawClient, subscribePacket } from './raw-client.ts';

// Statement numbers: MQTT 3.1.1, OASIS Standard, 29 October 2014, appendix B.
let broker: Broker;
let sink: GatedSink;
const CONNACK = '20020000';
const LONE_SURROGATE = Buffer.from([0xed, 0xa0, 0x80]);
const within = (before: string, bytes: Buffer): Buffer => Buffer.concat([Buffer.from(before), bytes]);

beforeEach(async () => {
  sink = new GatedSink();
  sink.open = true;
  broker = await gatedBroker(sink);
});
afterEach(() => broker.stop());

const answer = (...packets: Buffer[]): Promise<string> => answerOf(broker.port, ...packets);

describe('CONNECT', () => {
  test.each([
    [
      'an empty client id without clean session gets return code 2 [MQTT-3.1.3-8]',
      connectPacket({ id: '', flags: 0 }),
      '20020002',
    ],
    ['a client id over the limit gets return code 2', connectPacket({ id: 'x'.repeat(257) }), '20020002'],
    ['protocol level 5 gets return code 1 [MQTT-3.1.2-2]', connectPacket({ level: 5 }), '20020001'],
    ['protocol level 6 gets return code 1 [MQTT-3.1.2-2]', connectPacket({ level: 6 }), '20020001'],
    ['another protocol name ends the connection [MQTT-3.1.2-1]', connectPacket({ name: 'MQTTX' }), ''],
    ['the reserved connect flag ends the connection [MQTT-3.1.2-3]', connectPacket({ flags: 3 }), ''],
    [
      'a will of QoS 3 ends the connection [MQTT-3.1.2-14]',
      connectPacket({ flags: 0x1e, will: { topic: 'a', message: '' } }),
      '',
    ],
    ['will retain without a will ends the connection [MQTT-3.1.2-15]', connectPacket({ flags: 0x22 }), ''],
    [
      'a password without user name ends the connection [MQTT-3.1.2-22]',
      connectPacket({ flags: 0x42, rest: Buffer.of(0, 1, 65) }),
      '',
    ],
    ['U+0000 in the client id ends the connection [MQTT-1.5.3-2]', connectPacket({ id: 'a\0b' }), ''],
    [
      'a lone surrogate in the client id ends the connection [MQTT-1.5.3-1]',
      connectPacket({ id: within('a', LONE_SURROGATE) }),
      '',
    ],
    [
      'U+0000 in the will topic ends the connection',
      connectPacket({ flags: 6, will: { topic: 'a\0', message: '' } }),
      '',
    ],
    [
      'a wildcard in the will topic ends the connection',
      connectPacket({ flags: 6, will: { topic: 'a/#', message: '' } }),
      '',
    ],
    ['bytes after the last field end the connection', connectPacket({ rest: Buffer.of(0) }), ''],
    [
      'reserved flags in the fixed header end the connection [MQTT-2.2.2-2]',
      packet(0x11, connectPacket().subarray(2)),
      '',
    ],
    ['a first packet that is not CONNECT ends the connection [MQTT-3.1.0-1]', publishPacket('a', 'b'), ''],
  ])('%s', async (_, bytes, expected) => {
    expect(await answer(bytes)).toBe(expected);
    expect(sink.taken).toEqual([]);
  });

  test('an empty client id with clean session is given one [MQTT-3.1.3-6]', async () => {
    const raw = new RawClient(broker.port);
    raw.send(connectPacket({ id: '' }));
    expect(await raw.bytes(4)).toBe(CONNACK);
    raw.socket.destroy();
  });

  test('a client id of the greatest length is taken', async () => {
    const raw = new RawClient(broker.port);
    raw.send(connectPacket({ id: 'x'.repeat(256) }));
    expect(await raw.bytes(4)).toBe(CONNACK);
    raw.socket.destroy();
  });

  test('a second CONNECT ends the connection [MQTT-3.1.0-2]', async () => {
    expect(await answer(connectPacket(), connectPacket())).toBe(CONNACK);
  });

  test('a second client with the same id ends the first [MQTT-3.1.4-2]', async () => {
    const first = new RawClient(broker.port);
    first.send(connectPacket({ id: 'same' }));
    await first.bytes(4);
    const second = new RawClient(broker.port);
    second.send(connectPacket({ id: 'same' }));
    expect(await first.untilEnd()).toBe(CONNACK);
    expect(await second.bytes(4)).toBe(CONNACK);
    second.socket.destroy();
  });

  test('session present tells whether the session was kept [MQTT-3.2.2-2]', async () => {
    const join = async (flags: number): Promise<string> => {
      const raw = new RawClient(broker.port);
      raw.send(connectPacket({ id: 'node', flags }), Buffer.of(0xe0, 0));
      return raw.untilEnd();
    };
    expect(await join(0)).toBe(CONNACK);
    expect(await join(0)).toBe('20020100');
    expect(await join(2)).toBe(CONNACK);
    expect(await join(0)).toBe(CONNACK);
  });

  test('publishes that follow CONNECT at once are taken after it', async () => {
    expect(await answer(connectPacket(), publishPacket('airlines/h/g', 'x', 9), Buffer.of(0xe0, 0))).toMatch(
      /^20020000(40020009)?$/,
    );
    expect(sink.texts()).toEqual(['airlines/h/g x']);
  });
});

test('a client of MQTT 5 learns with return code 1 that its protocol is not served [MQTT-3.1.2-2]', async () => {
  // Section 3.1.2.2: the server must answer with 0x01 and then disconnect; MQTT 5 itself has 0x84 for it, in a packet of its own form.
  const five = mqtt.connectAsync(`mqtt://127.0.0.1:${broker.port}`, { protocolVersion: 5, reconnectPeriod: 0 });
  await expect(five).rejects.toMatchObject({ code: 1 });
  const four = await mqtt.connectAsync(`mqtt://127.0.0.1:${broker.port}`, { protocolVersion: 4, reconnectPeriod: 0 });
  await four.endAsync(true);
});

describe('packets that break the standard end the connection', () => {
  test.each([
    ['a topic with U+0000 [MQTT-1.5.3-2]', publishPacket('airlines/h/g\0', 'x')],
    ['a topic with a lone surrogate [MQTT-1.5.3-1]', publishPacket(within('airlines/h/', LONE_SURROGATE), 'x')],
    ['a topic with a wildcard [MQTT-3.3.2-2]', publishPacket('airlines/+/g', 'x')],
    ['an empty topic [MQTT-4.7.3-1]', publishPacket('', 'x')],
    ['a topic with too many levels', publishPacket('a/'.repeat(16), 'x')],
    ['a topic that is too long', publishPacket('a'.repeat(513), 'x')],
    ['QoS 3 [MQTT-3.3.1-4]', publishPacket('airlines/h/g', 'x', 1, 0x36)],
    ['DUP with QoS 0 [MQTT-3.3.1-2]', publishPacket('airlines/h/g', 'x', 0, 0x38)],
    ['packet identifier 0 [MQTT-2.3.1-1]', publishPacket('airlines/h/g', 'x', 0)],
    ['PUBLISH cut off in its topic', packet(0x32, Buffer.of(0, 9, 65))],
    ['PUBLISH cut off before its identifier', packet(0x32, Buffer.of(0, 1, 65, 0))],
    ['SUBSCRIBE with wrong flags [MQTT-3.8.1-1]', subscribePacket('a', 1, 1, 0x80)],
    ['SUBSCRIBE without a filter [MQTT-3.8.3-3]', packet(0x82, Buffer.of(0, 1))],
    ['SUBSCRIBE with QoS 3 [MQTT-3-8.3-4]', subscribePacket('a', 3)],
    ['a filter with "#" not last [MQTT-4.7.1-2]', subscribePacket('a/#/b')],
    ['a filter with "#" beside a character [MQTT-4.7.1-2]', subscribePacket('a#')],
    ['a filter with "+" beside a character [MQTT-4.7.1-3]', subscribePacket('+a')],
    ['a filter with "+" at the end of a level [MQTT-4.7.1-3]', subscribePacket('a/b+')],
    ['a filter with U+0000', subscribePacket('a\0')],
    ['UNSUBSCRIBE without a filter [MQTT-3.10.3-2]', packet(0xa2, Buffer.of(0, 1))],
    ['a packet type that only servers send', packet(0x90, Buffer.of(0, 1, 0))],
    ['packet type 0', packet(0x00)],
    ['packet type 15', packet(0xf0)],
    ['DISCONNECT with content', packet(0xe0, Buffer.of(0))],
    ['PUBREL with wrong flags [MQTT-3.6.1-1]', packet(0x60, Buffer.of(0, 1))],
    ['a remaining length of five bytes', Buffer.of(0x30, 0xff, 0xff, 0xff, 0xff, 0x01)],
    ['a packet over the size limit', publishPacket('airlines/h/g', Buffer.alloc(2048))],
  ])('%s', async (_, bytes) => {
    expect(await answer(connectPacket(), bytes)).toBe(CONNACK);
    expect(sink.taken).toEqual([]);
    expect(broker.counts().faulted).toBe(1);
  });

  test('a packet of exactly the size limit is taken', async () => {
    const raw = new RawClient(broker.port);
    const head = publishPacket('airlines/h/g', Buffer.alloc(2000)).length - 2000;
    raw.send(connectPacket(), publishPacket('airlines/h/g', Buffer.alloc(2048 - head), 3));
    expect(await raw.bytes(8)).toBe(`${CONNACK}40020003`);
    raw.socket.destroy();
  });
});

test('mutated packets neither stop the broker nor reach the sink as something else', async () => {
  const good = [
    publishPacket('airlines/h/g', '[{"n":"x","v":1}]', 5),
    subscribePacket('airlines/#'),
    connectPacket({ id: 'again' }),
  ];
  const mutation = fc.record({ which: fc.nat(2), at: fc.nat(200), value: fc.nat(255), cut: fc.nat(200) });
  await fc.assert(
    fc.asyncProperty(fc.array(mutation, { minLength: 1, maxLength: 4 }), async (mutations) => {
      const raw = new RawClient(broker.port);
      const bytes = mutations.map(({ which, at, value, cut }) => {
        const copy = Buffer.from(good[which]!);
        copy[at % copy.length] = value;
        return cut < 20 ? copy.subarray(0, cut) : copy;
      });
      raw.send(connectPacket({ id: 'mutant' }), ...bytes);
      raw.socket.end();
      await raw.untilEnd();
    }),
    { numRuns: 200 },
  );
  const raw = new RawClient(broker.port);
  raw.send(connectPacket({ id: 'still here' }), publishPacket('airlines/h/g', 'x', 2));
  expect(await raw.bytes(8)).toBe(`${CONNACK}40020002`);
  for (const { topic } of sink.taken) expect(topic.name).toMatch(/^airlines/);
  raw.socket.destroy();
});

test('a port in use is said plainly', async () => {
  const { startBroker } = await import('../../../collector/broker/broker.ts');
  const { TEST_LIMITS } = await import('./gated-broker.ts');
  const { silentLog } = await import('../../../collector/log.ts');
  const second = startBroker({
    port: broker.port,
    host: '127.0.0.1',
    root: 'airlines',
    limits: TEST_LIMITS,
    sink,
    log: silentLog,
  });
  await expect(second).rejects.toMatchObject({
    code: 'PORT_UNUSABLE',
    message: `MQTT port ${broker.port} on 127.0.0.1 cannot be opened: another program uses it; choose another with --mqtt-port`,
  });
});
