import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import Database from 'better-sqlite3';
import mqtt from 'mqtt';
import { expect, test } from 'vitest';
import { OperationConfig } from '../../../collector/config.ts';
import { Plant, Settings } from '../../../collector/contract/index.ts';
import { startWriter } from '../../../collector/index.ts';
import { startService } from '../../../dashboard/service/run-service.ts';

const START = Date.parse('2026-03-02T08:00:00Z');

/** One reading of pressure a second. */
const pack = (station: string, second: number) => ({
  station,
  times: Array.from({ length: 60 }, (_, i) => START + 1000 * (second + i)),
  channels: Array.from({ length: 60 }, () => 0),
  values: Array.from({ length: 60 }, () => 1.6),
  strings: [],
  provenance: '',
});

test('a service on a damaged batch takes readings, shows the rest, and says what is missing where it is asked for', async () => {
  const dir = mkdtempSync(join(tmpdir(), 'driftline-damaged-'));
  const writer = await startWriter(dir);
  for (const [station, second] of [
    ['gun-01', 0],
    ['gun-01', 60],
    ['gun-02', 60],
  ] as const)
    await writer.commit({ packs: [pack(station, second)] });
  await writer.stop();
  const database = new Database(join(dir, 'driftline.db'));
  const body = database.prepare('SELECT body FROM batch WHERE seq = 2').pluck().get() as Buffer;
  body[100]! ^= 1;
  database.prepare('UPDATE batch SET body = ? WHERE seq = 2').run(body);
  database.close();

  const errors: string[] = [];
  const service = await startService({
    plant: Plant.parse({
      site: { id: 'hall-2', timezone: 'UTC' },
      guns: [{ id: 'gun-01', name: 'Booth 1 left' }, { id: 'gun-02' }],
    }),
    dir,
    settings: Settings.parse({}),
    config: OperationConfig.parse({ broker: { port: 0 }, http: { port: 0 } }),
    log: {
      info: () => undefined,
      warn: () => undefined,
      error: ({ error }: { error?: unknown }) => errors.push(String(error)),
    },
  });
  const get = (path: string): Promise<Response> => fetch(`${service.httpUrl}${path}`);
  try {
    const client = await mqtt.connectAsync(service.mqttUrl, { protocolVersion: 4 });
    for (const gun of ['gun-01', 'gun-02'])
      await client.publishAsync(`airlines/hall-2/${gun}`, '[{"n":"conveying/pressure","v":1.7}]', { qos: 1 });
    await client.endAsync();
    expect(await (await get('/readyz')).json()).toEqual({ status: 'ok' });
    const span = { from: '2026-03-02T08:01:00.000Z', to: '2026-03-02T08:01:59.000Z' };
    const why = expect.stringMatching(/^batch 2: found the checksum [0-9a-f]{8}, expected [0-9a-f]{8}$/);
    expect(await (await get('/api/status')).json()).toMatchObject({
      trouble: null,
      damaged: [{ station: 'Booth 1 left', ...span, why }],
    });
    expect(errors).toEqual([
      expect.stringMatching(`^readings of gun-01 from ${span.from} to ${span.to} are damaged \\(batch 2`),
    ]);
    expect(await (await get('/metrics')).text()).toMatch(/^driftline_damaged_spans 1$/m);

    const refused = await get('/api/export/readings?station=gun-01');
    expect(refused.status).toBe(500);
    expect(await refused.json()).toMatchObject({
      code: 'READINGS_DAMAGED',
      detail: expect.stringContaining(`readings of gun-01 from ${span.from} to ${span.to} are damaged`),
    });
    const rows = async (query: string): Promise<number> =>
      (await (await get(`/api/export/readings?${query}`)).text()).trim().split('\n').length - 1;
    expect(await rows('station=gun-02')).toBe(61);
    expect(await rows(`station=gun-01&to=${span.from}`)).toBe(60);

    const around = 'from=2026-03-02T07:59:00Z&to=2026-03-02T08:05:00Z&series=conveyingPressure';
    const history = (await (await get(`/api/guns/gun-01/history?${around}`)).json()) as { times: number[] };
    expect(history).toMatchObject({ level: 'readings', damaged: [{ from: Date.parse(span.from), why }] });
    expect(history.times.every((time) => time < Date.parse(span.from))).toBe(true);
    expect(history.times.length).toBeGreaterThan(10);
    expect((await get(`/api/guns/gun-01/history.csv?${around}`)).status).toBe(500);
    expect(await (await get(`/api/guns/gun-02/history?${around}`)).json()).toMatchObject({ damaged: [] });
  } finally {
    await service.stop();
    rmSync(dir, { recursive: true });
  }
});
