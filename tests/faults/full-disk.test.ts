import { spawnSync } from 'node:child_process';
import { mkdtempSync, rmSync, statfsSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import mqtt from 'mqtt';
import { afterAll, beforeAll, expect, test } from 'vitest';
import { OperationConfig } from '../../collector/config.ts';
import { Plant } from '../../collector/contract/index.ts';
import { openStore } from '../../collector/store/embedded.ts';
import { verifyStore } from '../../collector/store/verify.ts';
import { type Service, startService } from '../../dashboard/service/run-service.ts';

// A disk of its own for the whole service: only root may mount one, so elsewhere the test is left out and says so.
const disk = mkdtempSync(join(tmpdir(), 'driftline-full-'));
const mounted = spawnSync('mount', ['-t', 'tmpfs', '-o', 'size=24m', 'driftline-test', disk]).status === 0;
if (!mounted) console.warn('left out: the full disk needs the right to mount a small tmpfs');

const dir = join(disk, 'data');
const said: string[] = [];
const say = (fields: object, message: string): void => void said.push(`${message} ${JSON.stringify(fields)}`);
let service: Service;
let client: mqtt.MqttClient;

beforeAll(async () => {
  if (!mounted) return;
  service = await startService({
    plant: Plant.parse({ site: { id: 'hall-2', timezone: 'UTC' }, guns: [{ id: 'gun-01' }] }),
    dir,
    settings: null,
    config: OperationConfig.parse({ broker: { port: 0 }, http: { port: 0 } }),
    log: { info: say, warn: say, error: say },
  });
  client = await mqtt.connectAsync(service.mqttUrl, { protocolVersion: 4 });
});
afterAll(async () => {
  if (mounted) spawnSync('umount', ['-l', disk]);
  rmSync(disk, { recursive: true, force: true });
});

const START_S = 1_764_057_600;
/** Readings that cannot be packed well, so that the disk fills. */
const pack = (sequence: number): string =>
  JSON.stringify(
    Array.from({ length: 500 }, (_, row) => ({
      n: 'conveying/pressure',
      t: START_S + 500 * sequence + row,
      v: ((sequence * 7919 + row * 104_729) % 15_000) / 1000,
    })),
  );
const get = async (path: string): Promise<{ status: number; body: Record<string, unknown> }> => {
  const response = await fetch(`${service.httpUrl}${path}`);
  return { status: response.status, body: (await response.json()) as Record<string, unknown> };
};

test.skipIf(!mounted)(
  'a full disk is named everywhere, takes nothing acknowledged away, and is over by itself',
  async () => {
    const room = join(disk, 'other-files');
    let acknowledged = 0;
    const send = (sequence: number): Promise<void> =>
      client.publishAsync('airlines/hall-2/gun-01', pack(sequence), { qos: 1 }).then(() => void acknowledged++);
    await send(0);
    expect((await get('/readyz')).status).toBe(200);
    const { bavail, bsize } = statfsSync(disk);
    writeFileSync(room, Buffer.alloc(Math.max(0, bavail * bsize - 65_536), 1));
    const sent: Promise<void>[] = [];
    while ((await get('/readyz')).status === 200) {
      sent.push(send(sent.length + 1));
      await new Promise((resolve) => setTimeout(resolve, 10));
    }
    const ready = await get('/readyz');
    expect(ready).toMatchObject({
      status: 503,
      body: { detail: expect.stringMatching(/^The disk is full: no readings/) },
    });
    expect((await get('/healthz')).status).toBe(200);
    expect((await get('/api/wall')).body.trouble).toMatch(/^The disk is full/);
    const status = await get('/api/status');
    expect(status.body).toMatchObject({
      trouble: expect.stringMatching(/^The disk is full/),
      disk: { warning: expect.stringMatching(/as good as full/) },
    });
    expect(acknowledged).toBeLessThan(sent.length + 1);
    expect(said.join()).toContain('"code":"DISK_FULL"');

    rmSync(room);
    await Promise.all(sent);
    expect((await get('/readyz')).status).toBe(200);
    expect((await get('/api/wall')).body.trouble).toBeNull();
    await client.endAsync();
    await service.stop();
    expect(verifyStore(dir)).toMatchObject({ faults: [], stations: [{ frames: 500 * (sent.length + 1) }] });
    const store = openStore(dir);
    expect(store.readings.counts('gun-01').conflicts).toEqual({});
    store.close();
  },
);
