import { readFileSync } from 'node:fs';
import mqtt from 'mqtt';
import { afterEach, beforeEach, describe, expect, test } from 'vitest';
import type { Broker } from '../../../collector/broker/broker.ts';
import { GatedSink, gatedBroker } from './gated-broker.ts';
import { connectPacket, publishPacket, RawClient } from './raw-client.ts';

let broker: Broker;
let sink: GatedSink;
const clients: mqtt.MqttClient[] = [];
const client = async (options: mqtt.IClientOptions = {}): Promise<mqtt.MqttClient> => {
  const one = await mqtt.connectAsync(`mqtt://127.0.0.1:${broker.port}`, { protocolVersion: 4, ...options });
  clients.push(one);
  return one;
};

/** What a subscriber has heard, and a wait for a topic. */
const hear = (listener: mqtt.MqttClient) => {
  const heard: string[] = [];
  let change = (): void => undefined;
  listener.on('message', (topic, payload, { retain }) => {
    heard.push(`${topic}=${payload}${retain ? ' retained' : ''}`);
    change();
  });
  const until = async (text: string): Promise<string[]> => {
    while (!heard.includes(text)) await new Promise<void>((resolve) => (change = resolve));
    return heard;
  };
  return { heard, until };
};

beforeEach(async () => {
  sink = new GatedSink();
  sink.open = true;
  broker = await gatedBroker(sink);
});
afterEach(async () => {
  for (const one of clients.splice(0)) await one.endAsync(true);
  await broker.stop();
});

describe('subscribers', () => {
  test('get committed readings, never as retained', async () => {
    const listener = await client();
    const { heard, until } = hear(listener);
    await listener.subscribeAsync('airlines/+/+', { qos: 1 });
    await (await client()).publishAsync('airlines/hall/gun-01', 'pack', { qos: 1, retain: true });
    await until('airlines/hall/gun-01=pack');
    const later = await client();
    const second = hear(later);
    await later.subscribeAsync('airlines/#', { qos: 1 });
    await later.publishAsync('end', '', { qos: 1 });
    await later.subscribeAsync('end2');
    await later.publishAsync('end2', 'x', { qos: 1 });
    await second.until('end2=x');
    expect(heard).toEqual(['airlines/hall/gun-01=pack']);
    expect(second.heard).toEqual(['end2=x']);
  });

  test('do not get what was refused', async () => {
    sink.accept = false;
    const listener = await client();
    const { heard, until } = hear(listener);
    await listener.subscribeAsync('#', { qos: 1 });
    const sender = await client();
    await sender.publishAsync('airlines/hall/gun-01', 'pack', { qos: 1 });
    await sender.publishAsync('end', 'x', { qos: 1 });
    await until('end=x');
    expect(heard).toEqual(['end=x']);
  });

  test('get an online state as retained whether or not its sender asked for that', async () => {
    await (await client()).publishAsync('airlines/hall/gun-01/online', 'true', { qos: 1 });
    const listener = await client();
    const { until } = hear(listener);
    await listener.subscribeAsync('airlines/+/+/online');
    await until('airlines/hall/gun-01/online=true retained');
  });

  test('get the will of a node whose connection breaks, and none of one that says goodbye', async () => {
    const listener = await client();
    const { heard, until } = hear(listener);
    await listener.subscribeAsync('airlines/+/+/online');
    const will = (station: string) => ({
      topic: `airlines/hall/${station}/online`,
      payload: Buffer.from('false'),
      qos: 1 as const,
      retain: true,
    });
    const polite = await client({ will: will('gun-01') });
    const broken = await client({ will: will('gun-02') });
    await polite.endAsync();
    broken.stream.destroy();
    await until('airlines/hall/gun-02/online=false');
    expect(heard).toEqual(['airlines/hall/gun-02/online=false']);
    expect(sink.texts()).toEqual(['airlines/hall/gun-02/online false']);
  });

  test('get no wills from a broker that is shutting down', async () => {
    await client({
      will: { topic: 'airlines/hall/gun-01/online', payload: Buffer.from('false'), qos: 1, retain: true },
    });
    await broker.stop();
    expect(sink.taken).toEqual([]);
  });

  test('find the retained conditions of before a restart', async () => {
    broker.publishRetained('airlines/hall/gun-01/condition', Buffer.from('{"state":"good"}'));
    await broker.stop();
    broker = await gatedBroker(sink, {}, [
      { topic: 'airlines/hall/gun-01/condition', payload: Buffer.from('{"state":"good"}') },
    ]);
    const listener = await client();
    const { until } = hear(listener);
    await listener.subscribeAsync('airlines/hall/+/condition', { qos: 1 });
    await until('airlines/hall/gun-01/condition={"state":"good"} retained');
  });

  test('are refused shared subscriptions with return code 128', async () => {
    const listener = await client();
    const [granted] = await listener.subscribeAsync('$share/group/a').catch((error: Error) => [{ qos: error.message }]);
    expect(granted?.qos).toContain('Unspecified error');
  });

  test('of a session that is away get its messages when they return, up to the limit', async () => {
    await broker.stop();
    broker = await gatedBroker(sink, { maxQueuedMessages: 3 });
    const session = { clientId: 'andon', clean: false };
    const first = await client(session);
    await first.subscribeAsync('lamp/#', { qos: 1 });
    await first.endAsync();
    const sender = await client();
    for (const number of [1, 2, 3, 4, 5]) await sender.publishAsync('lamp/a', String(number), { qos: 1 });
    const again = mqtt.connect(`mqtt://127.0.0.1:${broker.port}`, { protocolVersion: 4, ...session });
    clients.push(again);
    const { heard, until } = hear(again);
    await new Promise((resolve) => again.once('connect', resolve));
    await until('lamp/a=3');
    await sender.publishAsync('lamp/a', 'live', { qos: 1 });
    await until('lamp/a=live');
    expect(heard).toEqual(['lamp/a=1', 'lamp/a=2', 'lamp/a=3', 'lamp/a=live']);
    expect(broker.counts().notForwarded).toBe(2);
  });
});

interface MatchCase {
  filter: string;
  topic: string;
  match: boolean;
}

// MQTT 3.1.1 section 4.7, as listed in the fixture.
const { topic_match_cases: cases } = JSON.parse(
  readFileSync(new URL('../../published/fixtures/E-mqtt-normative.json', import.meta.url), 'utf8'),
) as { topic_match_cases: MatchCase[] };

describe('topic filters', () => {
  test.each(cases.filter(({ topic }) => !topic.startsWith('$SYS')))(
    '$filter and $topic match: $match',
    async ({ filter, topic, match }) => {
      const listener = await client();
      const { heard, until } = hear(listener);
      await listener.subscribeAsync([filter, 'end']);
      await listener.publishAsync(topic, 'x', { qos: 1 });
      await listener.publishAsync('end', 'x', { qos: 1 });
      await until('end=x');
      expect(heard.includes(`${topic}=x`)).toBe(match);
    },
  );

  test('messages to topics of the broker are acknowledged and go nowhere', async () => {
    const listener = await client();
    const { heard, until } = hear(listener);
    await listener.subscribeAsync(['#', '+/a', '$SYS/#']);
    const raw = new RawClient(broker.port);
    raw.send(connectPacket(), publishPacket('$SYS/a', 'x', 1), publishPacket('end', 'x', 2));
    await until('end=x');
    expect(await raw.bytes(12)).toBe('200200004002000140020002');
    expect(heard.filter((text) => text.endsWith('=x'))).toEqual(['end=x']);
    raw.socket.destroy();
  });
});
