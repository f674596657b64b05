import { createServer } from 'node:net';
import mqtt from 'mqtt';
import { expect, onTestFinished, test } from 'vitest';
import { OperationConfig } from '../../../collector/config.ts';
import { BothBrokers } from '../../../collector/intake/both-brokers.ts';
import { silentLog } from '../../../collector/log.ts';
import { openStore } from '../../../collector/store/embedded.ts';
import { haveMosquitto, Mosquitto } from '../../mosquitto.ts';
import { GatedSink, TEST_LIMITS } from '../broker/gated-broker.ts';
import { tempDir } from '../store/temp-dir.ts';
import { NOW } from './collector-under-test.ts';

const SHOWN = { topic: 'airlines/hall-2/gun-01/condition', payload: Buffer.from('{"state":"ok"}') };
const STATE = 'spBv1.0/STATE/driftline';

async function freePort(): Promise<number> {
  const server = createServer();
  const port = await new Promise<number>((resolve) =>
    server.listen(0, '127.0.0.1', () => resolve((server.address() as { port: number }).port)),
  );
  await new Promise((resolve) => server.close(resolve));
  return port;
}

/** What both need to start; an external broker as the configuration has it. */
function parts(port: number, externalBroker: object) {
  const sink = new GatedSink();
  sink.open = true;
  const store = openStore(tempDir(), { create: true });
  onTestFinished(() => store.close());
  const embedded = { port, host: '127.0.0.1', root: 'airlines', limits: TEST_LIMITS, sink, log: silentLog };
  const config = OperationConfig.parse({ externalBroker }).externalBroker;
  const external = {
    ...{ config, root: 'airlines', site: 'hall-2', filters: [], claims: () => false, store, sink, log: silentLog },
    ...{ now: () => NOW, clock: () => performance.now() },
  };
  return [embedded, external, [SHOWN]] as const;
}

/** What a client that subscribes to all hears, by topic: it ends with the test. */
async function hears(url: string) {
  const heard = new Map<string, string>();
  const client = await mqtt.connectAsync(url, { protocolVersion: 4, reconnectPeriod: 0 });
  onTestFinished(() => client.endAsync(true).then(() => undefined));
  client.on('message', (topic, payload) => void heard.set(topic, String(payload)));
  await client.subscribeAsync('#', { qos: 1 });
  return heard;
}

test('where the client of the external broker cannot start, the embedded broker is stopped, and its port is free again', async () => {
  const port = await freePort();
  const brokers = new BothBrokers('driftline', () => NOW);
  const wrong = { url: 'mqtt://127.0.0.1:1', username: 'driftline', passwordFile: '/nowhere/secret' };
  await expect(brokers.start(...parts(port, wrong))).rejects.toMatchObject({ code: 'CONFIG_INVALID' });
  expect(brokers.external).toBeNull();

  const again = new BothBrokers('driftline', () => NOW);
  const broker = await again.start(...parts(port, {}));
  expect([broker.port, again.external]).toEqual([port, null]);
  await again.stop();
});

test.runIf(haveMosquitto())(
  'what is published goes to both, and each holds what was shown and whether its host is there',
  async () => {
    const outside = await Mosquitto.start();
    onTestFinished(() => outside.end());
    const brokers = new BothBrokers('driftline', () => NOW);
    const own = await brokers.start(...parts(0, { url: outside.url }));
    await expect.poll(() => brokers.external?.counts().fault, { timeout: 10_000 }).toBeNull();
    const both = [await hears(`mqtt://127.0.0.1:${own.port}`), await hears(outside.url)];
    const retained = 'airlines/hall-2/gun-02/condition';
    brokers.publishRetained(retained, Buffer.from('worn'));
    brokers.publishOnce('spBv1.0/hall/NCMD/edge', Buffer.from('born?'));
    for (const heard of both)
      await expect
        .poll(() => Object.fromEntries(heard), { timeout: 10_000 })
        .toEqual({
          [SHOWN.topic]: '{"state":"ok"}',
          [STATE]: `{"online":true,"timestamp":${NOW}}`,
          [retained]: 'worn',
          'spBv1.0/hall/NCMD/edge': 'born?',
        });
    await brokers.stop();
    for (const heard of both)
      await expect.poll(() => heard.get(STATE), { timeout: 10_000 }).toBe(`{"online":false,"timestamp":${NOW}}`);
  },
);
