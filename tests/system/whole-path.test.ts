import { fork } from 'node:child_process';
import { once } from 'node:events';
import { writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import mqtt from 'mqtt';
import { afterAll, beforeAll, expect, test, vi } from 'vitest';
import { Finding, GunCondition } from '../../collector/contract/index.ts';
import { type RunningProgram, runProgram, startProgram, tempFolder } from './program.ts';

// The real program, a separate client that publishes, and an outsider who reads over HTTP and MQTT.
const folder = tempFolder('whole-path');
const plantFile = join(folder.path, 'plant.yaml');
const data = join(folder.path, 'data');
let service: RunningProgram;

const PLANT = `site: { id: hall-2, timezone: Europe/Vienna }
guns: [{ id: gun-01, name: Booth 1 left }, { id: gun-02 }]
`;

const getJson = async (path: string): Promise<unknown> => (await fetch(`${service.httpUrl}${path}`)).json();
const openFindings = async (): Promise<Finding[]> => Finding.array().parse(await getJson('/api/findings?open=true'));

/** Publishes in a process of its own: two guns report for ten minutes, then gun-01 falls silent for forty. */
async function publishFromOutside(): Promise<void> {
  const client = fork(fileURLToPath(new URL('./silent-gun-client.mjs', import.meta.url)), [service.mqttUrl], {
    stdio: ['ignore', 'inherit', 'inherit', 'ipc'],
  });
  const [status] = (await once(client, 'exit')) as [number];
  expect(status).toBe(0);
}

beforeAll(async () => {
  writeFileSync(plantFile, PLANT);
  service = await startProgram('serve', '--plant', plantFile, '--data', data);
});
afterAll(async () => {
  await service.stop();
  folder.remove();
});

test('what a client publishes becomes a finding over HTTP and on the retained condition topic', async () => {
  await publishFromOutside();
  const findings = await vi.waitUntil(
    async () => {
      const open = await openFindings();
      return open.length > 0 && open;
    },
    { timeout: 15_000, interval: 200 },
  );
  expect(findings).toMatchObject([{ gun: 'gun-01', cause: 'no-data', category: 'function-check', cleared: null }]);
  // Without a filter the list has open and cleared ones.
  expect(await getJson('/api/findings')).toEqual(findings);

  const client = await mqtt.connectAsync(service.mqttUrl);
  const conditions: GunCondition[] = [];
  client.on('message', (_topic, payload, packet) => {
    if (packet.retain) conditions.push(GunCondition.parse(JSON.parse(payload.toString())));
  });
  await client.subscribeAsync('airlines/hall-2/+/condition', { qos: 1 });
  await vi.waitUntil(() => conditions.length >= 2, { timeout: 10_000 });
  await client.endAsync();
  const condition = conditions.find(({ id }) => id === 'gun-01');
  expect(condition).toMatchObject({ id: 'gun-01', name: 'Booth 1 left', state: 'function-check' });
  expect(condition?.findings.map(({ cause }) => cause)).toEqual(['no-data']);
});

test('readings and findings come out of the store while the service runs', async () => {
  const readings = await runProgram('export', 'readings', '--data', data, '--station', 'gun-01');
  expect(readings).toMatchObject({ status: 0, stderr: '' });
  expect(readings.stdout.split('\n')[0]).toMatch(/^time,gun,/);
  expect(readings.stdout.trimEnd().split('\n')).toHaveLength(1 + 120);

  const findings = await runProgram('export', 'findings', '--data', data);
  expect(findings.status).toBe(0);
  expect(Finding.parse(JSON.parse(findings.stdout.split('\n')[0]!))).toMatchObject({ cause: 'no-data' });
});

test('an entry that the command line adds shows in the log of the running service', async () => {
  const added = await runProgram(
    ...['log', 'add', '--data', data, '--gun', 'gun-01', '--part', 'pump-insert', '--action', 'replaced'],
    ...['--found', 'worn'],
  );
  expect(added.status).toBe(0);
  expect(await getJson('/api/log')).toMatchObject([
    { gun: 'gun-01', part: 'pump-insert', action: 'replaced', found: 'worn' },
  ]);
});

test('after a restart the findings and the retained conditions are there again', async () => {
  const before = await openFindings();
  expect(await service.stop()).toBe(0);
  service = await startProgram('serve', '--plant', plantFile, '--data', data);
  await vi.waitUntil(async () => (await openFindings()).length === before.length, { timeout: 15_000, interval: 200 });
  expect(await openFindings()).toEqual(before);

  const client = await mqtt.connectAsync(service.mqttUrl);
  const retained: string[] = [];
  client.on('message', (topic, _payload, packet) => {
    if (packet.retain) retained.push(topic);
  });
  await client.subscribeAsync(['airlines/hall-2/+/condition', 'airlines/hall-2/+/online'], { qos: 1 });
  await vi.waitUntil(() => retained.length >= 3, { timeout: 10_000 });
  await client.endAsync();
  expect(retained.sort()).toEqual([
    'airlines/hall-2/gun-01/condition',
    'airlines/hall-2/gun-01/online',
    'airlines/hall-2/gun-02/condition',
  ]);
});
