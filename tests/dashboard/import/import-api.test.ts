import { mkdtempSync, readdirSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { gzipSync } from 'node:zlib';
import { parse } from 'csv-parse/sync';
import { parquetReadObjects } from 'hyparquet';
import { afterAll, afterEach, beforeAll, beforeEach, describe, expect, test } from 'vitest';
import { OperationConfig } from '../../../collector/config.ts';
import { Plant } from '../../../collector/contract/index.ts';
import { importReadings, openStore } from '../../../collector/index.ts';
import { type Service, startService } from '../../../dashboard/service/run-service.ts';

const PLANT = Plant.parse({
  site: { id: 'hall-2', timezone: 'Europe/Vienna' },
  guns: [
    { id: 'gun-01', name: 'Left' },
    { id: 'gun-02', name: 'Right' },
  ],
});
const root = mkdtempSync(join(tmpdir(), 'driftline-import-api-'));
afterAll(() => rmSync(root, { recursive: true }));
const log = { info: () => undefined, warn: () => undefined, error: () => undefined };
let folders = 0;
let dir = '';
let service: Service;

const start = (http: object = {}): Promise<Service> =>
  startService({
    plant: PLANT,
    dir,
    settings: null,
    config: OperationConfig.parse({ broker: { port: 0 }, http: { port: 0, maxChangesPerMinute: 5000, ...http } }),
    log,
  });

interface Told {
  readonly status: number;
  // biome-ignore lint/suspicious/noExplicitAny: answers of several addresses
  readonly body: any;
}
const call = async (method: string, path: string, body?: unknown): Promise<Told> => {
  const bytes = body instanceof Uint8Array;
  const answer = await fetch(service.httpUrl + path, {
    method,
    ...(body === undefined
      ? {}
      : {
          headers: { 'Content-Type': bytes ? 'application/octet-stream' : 'application/json' },
          body: bytes ? (body as Uint8Array<ArrayBuffer>) : JSON.stringify(body),
        }),
  });
  return { status: answer.status, body: await answer.json() };
};
const upload = async (file: string, content: Uint8Array, pieceBytes = 65_536): Promise<string> => {
  const begun = await call('POST', '/api/imports', { file, bytes: content.length });
  expect(begun.status).toBe(201);
  for (let at = begun.body.received; at < content.length; at += pieceBytes)
    expect(
      (await call('PUT', `/api/imports/${begun.body.id}/bytes?offset=${at}`, content.subarray(at, at + pieceBytes)))
        .status,
    ).toBe(200);
  return begun.body.id;
};
const settled = async (id: string): Promise<Told['body']> => {
  let body: Told['body'];
  await expect
    .poll(
      async () => {
        body = (await call('GET', `/api/imports/${id}`)).body;
        return body.stage;
      },
      { timeout: 30_000, interval: 50 },
    )
    .not.toBe('running');
  return body;
};
const stored = (): number => {
  const store = openStore(dir);
  const readings = PLANT.guns.reduce((sum, { id }) => sum + store.readings.counts(id).readings, 0);
  store.close();
  return readings;
};

const LOGGER = [
  'Logger 7;;;',
  'Datum;Zeit;Förderdruck [mbar];Trigger',
  '02.02.2026;06:00:00;1526,9;1',
  '02.02.2026;06:00:10;abc;1',
  '31.02.2026;06:00:20;1599,1;0',
  '02.02.2026;06:00:30;99999;0',
].join('\r\n');
const MAPPING = {
  delimiter: ';',
  decimal: ',',
  encoding: 'windows-1252',
  skipLines: 1,
  time: { column: 'Datum', clock: 'Zeit', format: 'dd.MM.yyyy HH:mm:ss', zone: 'Europe/Vienna' },
  gun: 'gun-01',
  columns: [
    { column: 'Förderdruck [mbar]', channel: 'conveying/pressure', unit: 'hPa' },
    { column: 'Trigger', channel: 'trigger' },
  ],
};
const inLatin1 = (text: string): Uint8Array => Buffer.from(text, 'latin1');
const rows = (count: number): Uint8Array =>
  Buffer.from(
    `time,gun,conveying/pressure\n${Array.from({ length: count }, (_, n) => `${1_770_000_000 + n},gun-02,${(1000 + (n % 900)) / 1000}\n`).join('')}`,
  );

describe('a file given to the running service', () => {
  beforeAll(async () => {
    dir = join(root, String(folders++));
    service = await start({ maxImportBytes: 5_000_000, maxImportPieceBytes: 100_000 });
  });
  afterAll(() => service.stop());

  test('is offered a mapping from its headings, shown row by row with refusals on their lines, and imported', async () => {
    const id = await upload('gun-01 left.csv', inLatin1(LOGGER));
    const { offered, kept } = (await call('GET', `/api/imports/${id}/mapping`)).body;
    expect(kept).toBeNull();
    expect(offered).toMatchObject({
      ...{ delimiter: ';', decimal: ',', encoding: 'windows-1252', skipLines: 1, gun: 'gun-01', own: false },
      time: { column: 'Datum', clock: 'Zeit', format: 'dd.MM.yyyy HH:mm:ss', zone: 'Europe/Vienna' },
      columns: [
        { column: 'Förderdruck [mbar]', channel: 'conveying/pressure', unit: 'hPa' },
        { column: 'Trigger', channel: 'trigger', unit: null },
      ],
    });

    const preview = await call('POST', `/api/imports/${id}/preview`, { mapping: MAPPING, rows: 10 });
    const [first, second, third, fourth] = preview.body.rows;
    const time = Date.parse('2026-02-02T05:00:00Z');
    expect(first).toMatchObject({
      line: 3,
      readings: [
        { station: 'gun-01', time, channel: 'conveying/pressure', value: 1.5269 },
        { channel: 'trigger', value: 1 },
      ],
      refusals: [],
    });
    expect(second).toMatchObject({
      line: 4,
      readings: [{ channel: 'trigger' }],
      refusals: [{ line: 4, reason: 'not-a-number', says: 'not a number', channel: 'conveying/pressure' }],
    });
    expect(third).toMatchObject({
      line: 5,
      readings: [],
      refusals: [{ line: 5, reason: 'time-unreadable', channel: null }],
    });
    expect(fourth).toMatchObject({ line: 6, refusals: [{ reason: 'out-of-range', channel: 'conveying/pressure' }] });

    expect((await call('POST', `/api/imports/${id}/run`, { task: 'dry-run', mapping: MAPPING })).status).toBe(202);
    const dry = await settled(id);
    expect(dry).toMatchObject({ stage: 'ready', outcome: { readings: 4, stations: [{ station: 'gun-01', rows: 3 }] } });
    expect(dry.outcome.refusals.map(({ line }: { line: number }) => line)).toEqual([4, 5, 6]);
    expect(stored()).toBe(0);

    await call('POST', `/api/imports/${id}/run`, { task: 'import', mapping: MAPPING });
    expect(await settled(id)).toMatchObject({ stage: 'done', outcome: { readings: 4, importedBefore: null } });
    expect(stored()).toBe(4);
    // And out again, as a table that could be imported.
    const csv = await (await fetch(`${service.httpUrl}/api/export/readings?station=gun-01`)).text();
    expect(parse(csv, { columns: true })).toMatchObject([
      { time: '2026-02-02T05:00:00.000Z', gun: 'gun-01', 'conveying/pressure': '1.5269', trigger: '1' },
      { time: '2026-02-02T05:00:10.000Z', 'conveying/pressure': '', trigger: '1' },
      { time: '2026-02-02T05:00:30.000Z', 'conveying/pressure': '', trigger: '0' },
    ]);
    const parquet = await (await fetch(`${service.httpUrl}/api/export/readings?format=parquet`)).arrayBuffer();
    expect(await parquetReadObjects({ file: parquet })).toHaveLength(3);
    expect((await call('GET', '/api/export/readings?station=gun-09')).status).toBe(400);
    // The next file with these headings begins with what was used here.
    const next = await upload('gun-02 next.csv', inLatin1(`${LOGGER}\r\n02.02.2026;07:00:00;1500,0;1`));
    expect((await call('GET', `/api/imports/${next}/mapping`)).body.kept).toMatchObject({
      file: 'gun-01 left.csv',
      mapping: { gun: 'gun-01' },
    });
  });

  test('is the same file to the command line: what one imported the other passes over', async () => {
    const path = join(root, 'same.csv.gz');
    const content = gzipSync(rows(50));
    (await import('node:fs')).writeFileSync(path, content);
    const quiet = { write: () => undefined };
    await importReadings({
      onOwn: () => undefined,
      onBegun: () => undefined,
      ...{
        dir,
        plant: PLANT,
        files: [path],
        mapping: null,
        preview: null,
        dryRun: false,
        stdout: quiet,
        stderr: quiet,
      },
      ...{ now: () => Date.now(), signal: new AbortController().signal },
    });
    const id = await upload('other-name.csv.gz', content);
    await call('POST', `/api/imports/${id}/run`, { task: 'import', mapping: null });
    const { outcome } = await settled(id);
    expect(outcome.importedBefore).toBeGreaterThan(0);
  });

  test('goes on where sending was interrupted; bytes out of place, too many or of another kind are refused', async () => {
    const content = rows(3000);
    const first = await call('POST', '/api/imports', { file: 'cut.csv', bytes: content.length });
    const at = (offset: number, bytes: Uint8Array): Promise<Told> =>
      call('PUT', `/api/imports/${first.body.id}/bytes?offset=${offset}`, bytes);
    expect((await at(0, content.subarray(0, 1000))).body).toMatchObject({ received: 1000, stage: 'arriving' });
    expect((await at(0, content.subarray(0, 10))).body).toMatchObject({
      code: 'EDITED_MEANWHILE',
      detail: `cut.csv: 1000 bytes of ${content.length} are here, found an offset of 0`,
    });
    expect((await call('POST', `/api/imports/${first.body.id}/run`, { task: 'import', mapping: null })).status).toBe(
      409,
    );
    const again = await call('POST', '/api/imports', { file: 'cut.csv', bytes: content.length });
    expect(again.body).toMatchObject({ id: first.body.id, received: 1000 });
    expect((await at(1000, content.subarray(1000))).body).toMatchObject({ stage: 'ready', received: content.length });
    const small = await call('POST', '/api/imports', { file: 'small.csv', bytes: 5 });
    expect((await call('PUT', `/api/imports/${small.body.id}/bytes?offset=0`, Buffer.from('123456'))).status).toBe(413);
    expect((await call('POST', '/api/imports', { file: 'huge.csv', bytes: 5_000_001 })).status).toBe(413);
    expect((await call('PUT', `/api/imports/${small.body.id}/bytes?offset=0`, { no: 'bytes' })).status).toBe(415);
    expect((await call('POST', '/api/imports', { file: '../x.csv', bytes: 5 })).status).toBe(422);
  });

  test('that cannot be used is refused in one sentence that names file and line', async () => {
    const id = await upload(
      'bad.csv',
      Buffer.from('time,gun,conveying/pressure\nnever,gun-01,1\n1770000000,gun-09,1\n'),
    );
    await call('POST', `/api/imports/${id}/run`, { task: 'import', mapping: null });
    expect(await settled(id)).toMatchObject({
      stage: 'refused',
      fault:
        'bad.csv: line 2: rows: found no usable row among 2 (1 unreadable time; 1 unknown gun), expected a time, a gun of the plant file and a reading in at least one row',
    });
    const unmapped = await call('POST', `/api/imports/${id}/preview`, { mapping: { ...MAPPING, gun: 'gun-07' } });
    expect(unmapped.body.detail).toMatch(
      /^the mapping: found the gun "gun-07", expected one of the plant file: gun-01/,
    );
    expect((await call('DELETE', `/api/imports/${id}`)).status).toBe(200);
    expect((await call('GET', `/api/imports/${id}`)).status).toBe(404);
  });
});

describe('an import over HTTP', () => {
  beforeEach(async () => {
    dir = join(root, String(folders++));
    service = await start();
  });
  afterEach(() => service.stop());

  test('is cancelled, keeps what it stored, and goes on from there', async () => {
    const content = rows(60_000);
    const id = await upload('long.csv', content, 4_000_000);
    await call('POST', `/api/imports/${id}/run`, { task: 'import', mapping: null });
    await expect
      .poll(async () => (await call('GET', `/api/imports/${id}`)).body.step?.kind, { timeout: 20_000, interval: 20 })
      .toBe('stored');
    await call('POST', `/api/imports/${id}/cancel`);
    expect(await settled(id)).toMatchObject({ stage: 'stopped', fault: null });
    await call('POST', `/api/imports/${id}/run`, { task: 'import', mapping: null });
    expect(await settled(id)).toMatchObject({ stage: 'done', outcome: { readings: 60_000 } });
    expect(stored()).toBe(60_000);
    expect(readdirSync(join(dir, 'imports'))).toEqual([]);
  }, 60_000);

  test('that a restart interrupts goes on by itself, and brings nothing twice', async () => {
    const content = rows(60_000);
    const id = await upload('long.csv', content, 4_000_000);
    await call('POST', `/api/imports/${id}/run`, { task: 'import', mapping: null });
    await expect
      .poll(async () => (await call('GET', `/api/imports/${id}`)).body.step?.kind, { timeout: 20_000, interval: 20 })
      .toBe('stored');
    await service.stop();
    service = await start();
    expect(await settled(id)).toMatchObject({ stage: 'done', outcome: { readings: 60_000 } });
    expect(stored()).toBe(60_000);
  }, 60_000);
});
