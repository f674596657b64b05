import { connect } from 'node:net';
import { setTimeout as pause } from 'node:timers/promises';
import mqtt, { type MqttClient } from 'mqtt';
import { gunName } from './started.ts';

/** Where faults are injected. */
export interface FaultyHall {
  readonly mqttUrl: string;
  readonly port: number;
  readonly httpUrl: string;
  readonly stations: readonly MqttClient[];
}

type Fault = (hall: FaultyHall, turn: number) => Promise<void>;

const topic = (gun: number): string => `airlines/hall-1/${gunName(gun)}`;
const pack = (timeMs: number, bar: number): string =>
  JSON.stringify([{ n: 'conveying/pressure', u: 'bar', t: timeMs / 1000, v: bar }]);

async function withClient(url: string, use: (client: MqttClient) => Promise<unknown>): Promise<void> {
  const client = await mqtt.connectAsync(url, { protocolVersion: 4, reconnectPeriod: 0 });
  client.on('error', () => undefined);
  await use(client);
  await client.endAsync(true);
}

/** One after the other, over and over. */
export const FAULTS: Readonly<Record<string, Fault>> = {
  'stations cut off': async ({ stations }, turn) => {
    for (let k = 0; k < 20; k++) stations[(turn * 31 + k) % stations.length]!.stream.destroy();
  },
  'bytes that are no MQTT': async ({ port }) => {
    const ends = Array.from({ length: 50 }, (_, k) => {
      const socket = connect(port, '127.0.0.1');
      socket.on('error', () => undefined);
      socket.end(Buffer.from(Array.from({ length: 200 }, (_, i) => (i * 7 * (k + 1)) & 255)));
      return new Promise((resolve) => socket.once('close', resolve));
    });
    await Promise.all(ends);
  },
  'packs that are none': ({ mqttUrl }, turn) =>
    withClient(mqttUrl, (client) =>
      Promise.all(
        Array.from({ length: 200 }, (_, k) => client.publishAsync(topic(k % 200), `[{"n":"x${turn} ${k}`, { qos: 1 })),
      ),
    ),
  'a day of late readings, twice': ({ mqttUrl }, turn) =>
    withClient(mqttUrl, async (client) => {
      const from = Date.now() - 86_400_000 * (2 + (turn % 300));
      for (let again = 0; again < 2; again++)
        for (let k = 0; k < 2000; k++)
          await client.publishAsync(topic(turn % 200), pack(from + 40_000 * k, 2), { qos: 1 });
    }),
  'a flood': ({ mqttUrl }, turn) =>
    withClient(mqttUrl, (client) => {
      const from = Date.now() - 3_600_000 * 24 * 400 - turn * 3_600_000;
      return Promise.all(
        Array.from({ length: 5000 }, (_, k) => client.publishAsync(topic(7), pack(from + 10 * k, 3), { qos: 1 })),
      );
    }),
  'a page that does not read': async ({ httpUrl }) => {
    const { port } = new URL(httpUrl);
    const socket = connect(Number(port), '127.0.0.1');
    socket.on('error', () => undefined);
    socket.write(`GET /api/events HTTP/1.1\r\nHost: 127.0.0.1:${port}\r\n\r\n`);
    socket.pause();
    await pause(10_000);
    socket.destroy();
  },
  'a subscriber of all that goes away without a word': async ({ mqttUrl }, turn) => {
    const options = {
      protocolVersion: 4,
      reconnectPeriod: 0,
      // The same few again and again: what is kept for them comes to its limit while the memory warms up.
      clientId: `listener-${turn % 3}`,
      clean: false,
    } as const;
    const client = await mqtt.connectAsync(mqttUrl, options);
    client.on('error', () => undefined);
    await client.subscribeAsync('#', { qos: 1 });
    await pause(3_000);
    client.stream.destroy();
    await client.endAsync(true);
  },
};
