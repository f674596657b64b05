import { spawnSync } from 'node:child_process';
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import mqtt from 'mqtt';
import { afterAll, beforeAll, expect, test } from 'vitest';
import { OperationConfig } from '../../../collector/config.ts';
import { Plant, Settings } from '../../../collector/contract/index.ts';
import { type Service, startService } from '../../../dashboard/service/run-service.ts';
import { hasDebianTool } from '../../debian-tool.ts';

const dir = mkdtempSync(join(tmpdir(), 'driftline-operations-'));
const lines: { level: string; message: string }[] = [];
const say =
  (level: string) =>
  (_fields: object, message: string): void =>
    void lines.push({ level, message });
let service: Service;

beforeAll(async () => {
  service = await startService({
    plant: Plant.parse({ site: { id: 'hall-2', timezone: 'UTC' }, guns: [{ id: 'gun-01' }] }),
    dir: join(dir, 'data'),
    settings: Settings.parse({ overrides: [{ powder: 'p-whit', changeLimitExcessAir: 0.15 }] }),
    config: OperationConfig.parse({ broker: { port: 0 }, http: { port: 0 } }),
    log: { info: say('info'), warn: say('warn'), error: say('error') },
  });
  const client = await mqtt.connectAsync(service.mqttUrl, { protocolVersion: 4 });
  await client.publishAsync('airlines/hall-2/gun-01', '[{"n":"conveying/pressure","v":1.6}]', { qos: 1 });
  await client.publishAsync('airlines/hall-2/gun-01', 'no pack', { qos: 1 });
  await client.endAsync();
});
afterAll(async () => {
  await service.stop();
  rmSync(dir, { recursive: true });
});

const get = (path: string): Promise<Response> => fetch(`${service.httpUrl}${path}`);

test('the start warns of other values for a powder that nobody has sprayed', () => {
  expect(lines).toContainEqual({
    level: 'warn',
    message: expect.stringMatching(/^overrides\[0\]\.powder: found p-whit, .* changes nothing$/) as string,
  });
});

test('a service that takes readings is healthy and ready', async () => {
  expect(await (await get('/healthz')).json()).toEqual({ status: 'ok' });
  expect(await (await get('/readyz')).json()).toEqual({ status: 'ok' });
});

const promtool = hasDebianTool('/usr/bin/promtool', 'prometheus', 'the check of /metrics');
test.skipIf(!promtool)("/metrics passes Prometheus' own check, without a remark", async () => {
  const response = await get('/metrics');
  expect(response.headers.get('content-type')).toMatch(/^text\/plain; version=0\.0\.4/);
  const page = await response.text();
  const { status, stdout, stderr } = spawnSync('promtool', ['check', 'metrics'], { input: page, encoding: 'utf8' });
  expect(stdout + stderr).toBe('');
  expect(status).toBe(0);
  expect(page).toMatch(/^driftline_readings_committed_total 1$/m);
  expect(page).toMatch(/^driftline_refused_total\{reason="not-json"\} 1$/m);
});
