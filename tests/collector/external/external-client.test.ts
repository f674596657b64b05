import { rmSync } from 'node:fs';
import { join } from 'node:path';
import mqtt from 'mqtt';
import { afterEach, describe, expect, test } from 'vitest';
import type { Collector } from '../../../collector/intake/collector.ts';
import { haveMosquitto, Mosquitto } from '../../mosquitto.ts';
import { CollectorUnderTest, NOW, pressures } from '../intake/collector-under-test.ts';

const TOPIC = 'airlines/hall-2/gun-01';
let broker: Mosquitto;
let it: CollectorUnderTest;
let node: mqtt.MqttClient | null = null;

/** Waits until what is looked for has come about. */
const until = async (look: () => boolean): Promise<void> => {
  while (!look()) await new Promise((resolve) => setTimeout(resolve, 5));
};

const committed = (collector: Collector, count: number): Promise<void> =>
  until(() => collector.counts().intake.readings >= count);

describe.runIf(haveMosquitto())('an external broker', () => {
  afterEach(async () => {
    await node?.endAsync(true);
    node = null;
    await it.end();
    await broker.end();
  });

  const start = async (lines?: string[], externalBroker: object = {}): Promise<Collector> => {
    broker = await Mosquitto.start(lines);
    it = new CollectorUnderTest();
    it.config = { broker: { port: 0 }, externalBroker: { url: broker.url, ...externalBroker } };
    return it.start();
  };

  test('brings readings with MQTT 5, acknowledged after their commit', async () => {
    const collector = await start();
    await until(() => collector.counts().external?.fault === null);
    node = await mqtt.connectAsync(broker.url);
    await node.publishAsync(TOPIC, pressures([NOW, 1.5]), { qos: 1 });
    await committed(collector, 1);
    await until(() => collector.counts().external?.acknowledged === 1);
    expect(it.readings('gun-01', 'conveying/pressure')).toEqual([[NOW, 1.5]]);
    expect(collector.counts().external).toMatchObject({ version: 5, fault: null, waiting: 0 });
  });

  test('is spoken to with MQTT 3.1.1 where it knows no other', async () => {
    broker = await Mosquitto.start();
    // A broker that speaks 3.1.1 alone: our own.
    const old = new CollectorUnderTest();
    const { port } = await old.start();
    it = new CollectorUnderTest();
    it.config = { broker: { port: 0 }, externalBroker: { url: `mqtt://127.0.0.1:${port}` } };
    const collector = await it.start();
    await until(() => collector.counts().external?.fault === null);
    const sensor = await old.client();
    await sensor.publishAsync(TOPIC, pressures([NOW, 1.5]), { qos: 1 });
    await committed(collector, 1);
    expect(collector.counts().external).toMatchObject({ version: 4, failures: 1 });
    await old.end();
  });

  test('keeps for us what comes while we are away', async () => {
    const collector = await start();
    await until(() => collector.counts().external?.fault === null);
    await collector.stop();
    node = await mqtt.connectAsync(broker.url);
    for (let n = 0; n < 50; n++) await node.publishAsync(TOPIC, pressures([NOW + n, 1 + n / 100]), { qos: 1 });
    const again = await it.start();
    await committed(again, 50);
    expect(it.readings('gun-01', 'conveying/pressure')).toHaveLength(50);
  });

  test('shares a commit between many messages', async () => {
    const collector = await start();
    await until(() => collector.counts().external?.fault === null);
    node = await mqtt.connectAsync(broker.url);
    const sent = Array.from({ length: 500 }, (_, n) =>
      node!.publishAsync(TOPIC, pressures([NOW + n, 1.5]), { qos: 1 }),
    );
    await Promise.all(sent);
    await committed(collector, 500);
    expect(collector.counts().intake.commits).toBeLessThan(250);
    expect(collector.counts().intake.largestCommitMessages).toBeGreaterThan(1);
  });

  test('shows the conditions of guns, retained, also after it has forgotten them', async () => {
    const collector = await start();
    const condition = {
      id: 'gun-01',
      name: 'gun-01',
      state: 'good',
      ageSeconds: null,
      asOf: null,
      findings: [],
    } as const;
    await collector.publishCondition('gun-01', condition as never);
    await until(() => collector.counts().external?.unpublished === 0 && collector.counts().external?.fault === null);
    const seen = async (): Promise<unknown> => {
      const andon = await mqtt.connectAsync(broker.url);
      const message = new Promise<Buffer>((resolve) => andon.once('message', (_topic, payload) => resolve(payload)));
      await andon.subscribeAsync(`${TOPIC}/condition`);
      const payload = await message;
      await andon.endAsync(true);
      return JSON.parse(String(payload));
    };
    expect(await seen()).toEqual(condition);
    await broker.kill();
    rmSync(join(broker.dir, 'mosquitto.db'), { force: true });
    await broker.run();
    await until(() => collector.counts().external!.connections === 2 && collector.counts().external!.unpublished === 0);
    expect(await seen()).toEqual(condition);
  });

  test('tells of a node that has died there', async () => {
    const collector = await start();
    await until(() => collector.counts().external?.fault === null);
    const will = { topic: `${TOPIC}/online`, payload: Buffer.from('false'), qos: 1, retain: true } as const;
    const dying = await mqtt.connectAsync(broker.url, { will, reconnectPeriod: 0 });
    await dying.publishAsync(will.topic, 'true', { qos: 1, retain: true });
    await until(() => collector.latest('gun-01')?.online === true);
    dying.stream.destroy();
    await until(() => collector.latest('gun-01')?.online === false);
    await dying.endAsync(true);
  });

  test('takes no reading that it kept: nobody knows when it was read', async () => {
    broker = await Mosquitto.start();
    node = await mqtt.connectAsync(broker.url);
    await node.publishAsync(TOPIC, '[{"n":"conveying/pressure","v":1.5}]', { qos: 1, retain: true });
    it = new CollectorUnderTest();
    it.config = { broker: { port: 0 }, externalBroker: { url: broker.url } };
    const collector = await it.start();
    await until(() => collector.counts().external?.retainedSkipped === 1);
    expect(it.readings('gun-01', 'conveying/pressure')).toEqual([]);
  });

  test('refuses us without the password, and nothing shows it', async () => {
    const lines: string[] = [];
    broker = await Mosquitto.start(['allow_anonymous false']);
    it = new CollectorUnderTest();
    const say = (fields: object, message: string): void => void lines.push(message + JSON.stringify(fields));
    it.log = { info: say, warn: say, error: say };
    it.config = { broker: { port: 0 }, externalBroker: { url: broker.url, username: 'u', password: 'hush-hush' } };
    const collector = await it.start();
    await until(() => collector.counts().external!.failures >= 1);
    expect(collector.counts().external).toMatchObject({
      connected: false,
      fault: expect.stringContaining('not authorised'),
    });
    expect(lines.join('\n')).toContain('not authorised');
    expect(lines.join('\n') + JSON.stringify(collector.counts().external)).not.toContain('hush');
  });
});
