import { afterEach, beforeEach, describe, expect, test } from 'vitest';
import type { BrokerAccess } from '../../../collector/broker/access.ts';
import { type Broker, startBroker } from '../../../collector/broker/broker.ts';
import type { Log } from '../../../collector/log.ts';
import { GatedSink, TEST_LIMITS } from './gated-broker.ts';
import { connectPacket, packet, publishPacket, RawClient } from './raw-client.ts';
import { answerPacket, filtersPacket, joined, WireClient } from './wire-client.ts';

const text = (value: string): Buffer => Buffer.concat([Buffer.of(0, value.length), Buffer.from(value)]);

/** A CONNECT with user name, password `<user>-pass`, and a will where one is given. */
const as = (user: string, id: string, will: string | null = null, clean = true): Buffer =>
  packet(
    0x10,
    text('MQTT'),
    Buffer.of(4, 0xc0 | (clean ? 2 : 0) | (will === null ? 0 : 0x0c), 0, 0),
    text(id),
    ...(will === null ? [] : [text(will), text('false')]),
    text(user),
    text(`${user}-pass`),
  );

/** Each account publishes to its own station's topics and subscribes to its own condition. */
const access: BrokerAccess = {
  authenticate: ({ userName, password }) =>
    userName !== null && password?.toString() === `${userName}-pass`
      ? { ok: true, account: userName }
      : { ok: false, returnCode: 4, fault: 'wrong secret' },
  mayPublish: (account, { station }) => station === account,
  maySubscribe: (account, filter) => filter === `airlines/h/${account}/condition`,
};

let broker: Broker;
let sink: GatedSink;
let lines: { fields: object; message: string }[];
const say = (fields: object, message: string): void => void lines.push({ fields, message });

beforeEach(async () => {
  sink = new GatedSink();
  sink.open = true;
  lines = [];
  const log: Log = { info: say, warn: say, error: say };
  broker = await startBroker({ port: 0, host: '127.0.0.1', root: 'airlines', limits: TEST_LIMITS, sink, log, access });
});
afterEach(() => broker.stop());

const member = async (user: string, id: string): Promise<WireClient> => {
  const client = new WireClient(broker.port).send(as(user, id));
  expect(await client.take(1)).toEqual(['CONNACK 0']);
  return client;
};

describe('access', () => {
  test('a wrong secret gets the return code of access control and the connection ends [MQTT-3.2.2-5]', async () => {
    const raw = new RawClient(broker.port);
    raw.send(connectPacket());
    expect(await raw.untilEnd()).toBe('20020004');
    expect(broker.counts().denied).toBe(1);
  });

  test('a message to another topic is acknowledged with any QoS, goes nowhere, and each topic is logged once [MQTT-3.3.5-2]', async () => {
    const client = await member('gun-1', 'n');
    client.send(
      publishPacket('airlines/h/gun-2', 'x', 1, 0x32),
      publishPacket('airlines/h/gun-2', 'x', 2, 0x34),
      answerPacket(6, 2),
      publishPacket('elsewhere', 'x', 3, 0x33),
      publishPacket('airlines/h/gun-2/online', 'x', 0, 0x30),
    );
    expect((await client.take(4)).sort()).toEqual(['PUBACK #1', 'PUBACK #3', 'PUBCOMP #2', 'PUBREC #2']);
    await client.untilPong();
    expect(sink.taken).toEqual([]);
    expect(broker.counts().denied).toBe(4);
    expect(lines.filter(({ message }) => message === 'not allowed')).toMatchObject([
      { fields: { client: 'n', account: 'gun-1', what: 'publish to "airlines/h/gun-2"' } },
      { fields: { client: 'n', account: 'gun-1', what: 'publish to "elsewhere"' } },
      { fields: { client: 'n', account: 'gun-1', what: 'publish to "airlines/h/gun-2/online"' } },
    ]);
  });

  test('acknowledgements of refused messages do not overtake those of readings that wait', async () => {
    sink.open = false;
    const client = await member('gun-1', 'n');
    client.send(publishPacket('airlines/h/gun-1', 'x', 1), publishPacket('airlines/h/gun-2', 'x', 2));
    await sink.reached(1);
    sink.settle();
    expect(await client.take(2)).toEqual(['PUBACK #1', 'PUBACK #2']);
  });

  test('some filters of a SUBSCRIBE are refused, the others granted [MQTT-3.9.3-2]', async () => {
    const client = await member('gun-1', 'n');
    client.send(
      filtersPacket([
        ['airlines/h/gun-1/condition', 1],
        ['#', 2],
        ['airlines/h/gun-2/condition', 0],
        ['a/'.repeat(16), 0],
        ['$share/x/a', 0],
      ]),
    );
    expect(await client.take(1)).toEqual(['SUBACK #1 1 128 128 128 128']);
    broker.publishRetained('airlines/h/gun-2/condition', Buffer.from('2'));
    broker.publishRetained('airlines/h/gun-1/condition', Buffer.from('1'));
    expect(await client.untilPong()).toEqual(['PUBLISH airlines/h/gun-1/condition=1 q1 #1']);
  });

  test('a will to another topic is refused with its CONNECT', async () => {
    const raw = new RawClient(broker.port);
    raw.send(as('gun-1', 'n', 'airlines/h/gun-2/online'));
    expect(await raw.untilEnd()).toBe('20020005');
    expect(sink.taken).toEqual([]);
  });

  test('a client id that another account has, here or away, is refused and its owner stays', async () => {
    const owner = new WireClient(broker.port).send(as('gun-1', 'mine', null, false));
    await owner.take(1);
    const thief = new RawClient(broker.port);
    thief.send(as('gun-2', 'mine'));
    expect(await thief.untilEnd()).toBe('20020002');
    expect(await owner.untilPong()).toEqual([]);
    await owner.leave();
    const later = new RawClient(broker.port);
    later.send(as('gun-2', 'mine'));
    expect(await later.untilEnd()).toBe('20020002');
    const back = new WireClient(broker.port).send(as('gun-1', 'mine', null, false));
    expect(await back.take(1)).toEqual(['CONNACK 0 present']);
  });

  test('the connections and sessions of an account end when it is taken away', async () => {
    const client = new WireClient(broker.port).send(as('gun-1', 'mine', 'airlines/h/gun-1/online', false));
    await client.take(1);
    const other = await member('gun-2', 'n');
    broker.endAccount('gun-1', 'its secret was changed');
    expect(await client.take(1)).toEqual(['closed']);
    expect(await other.untilPong()).toEqual([]);
    expect(broker.counts().sessions).toBe(0);
    expect(sink.texts()).toEqual(['airlines/h/gun-1/online false']);
  });

  test('no line of the log holds a secret', async () => {
    const raw = new RawClient(broker.port);
    raw.send(as('gun-1', 'n', 'airlines/h/gun-2/online'));
    await raw.untilEnd();
    expect(JSON.stringify(lines)).not.toContain('-pass');
    await expect(joined(broker.port)).resolves.toMatchObject({ connack: 'CONNACK 4' });
  });
});
