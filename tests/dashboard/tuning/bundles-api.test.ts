import { mkdtempSync, readdirSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { gunzipSync, gzipSync } from 'node:zlib';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { readBundleFile, versionsHere } from '../../../analyzer/index.ts';
import { OperationConfig } from '../../../collector/config.ts';
import { VERSION } from '../../../collector/contract/index.ts';
import { startWriter } from '../../../collector/index.ts';
import { addReplay } from '../../../commands/replay.ts';
import { type Service, startService } from '../../../dashboard/service/run-service.ts';
import { packsOf } from '../../analyzer/live/live-hall.ts';
import { madeUpHall, PLANT } from '../../analyzer/live/made-up-hall.ts';
import { remarks } from '../../commands/remarks.ts';

const root = mkdtempSync(join(tmpdir(), 'driftline-bundles-'));
const dir = join(root, 'data');
const log = { info: () => undefined, warn: () => undefined, error: () => undefined };
let service: Service;
beforeAll(async () => {
  const writer = await startWriter(dir);
  await writer.commit({ packs: [...madeUpHall().values()].flatMap((frames) => packsOf(frames, 2000)) });
  await writer.stop();
});
beforeAll(async () => {
  const http = { port: 0, maxImportBytes: 4_000_000, maxImportPieceBytes: 65_536, maxChangesPerMinute: 5000 };
  const config = OperationConfig.parse({ broker: { port: 0 }, http });
  service = await startService({ plant: PLANT, dir, settings: null, config, log });
});
afterAll(() => service.stop());
afterAll(() => rmSync(root, { recursive: true }));

// biome-ignore lint/suspicious/noExplicitAny: answers of several addresses
type Told = any;
const call = async (path: string, body?: object, method = body === undefined ? 'GET' : 'POST'): Promise<Told> => {
  const answer = await fetch(service.httpUrl + path, {
    method,
    ...(body === undefined ? {} : { headers: { 'Content-Type': 'application/json' }, body: JSON.stringify(body) }),
  });
  return { status: answer.status, ...((await answer.json()) as object) };
};
const BUNDLES = '/api/studies/bundles';
const begun = (bytes: number, file = 'mine.gz'): Promise<Told> => call(BUNDLES, { file, bytes });
const put = async (id: string, offset: number, piece: Uint8Array<ArrayBuffer>): Promise<Told> => {
  const answer = await fetch(`${service.httpUrl}${BUNDLES}/${id}/bytes?offset=${offset}`, {
    ...{ method: 'PUT', headers: { 'Content-Type': 'application/octet-stream' }, body: piece },
  });
  return { status: answer.status, ...((await answer.json()) as object) };
};
const answered = async (begun: Told): Promise<Told> => {
  expect(begun.status).toBe(202);
  const now = (): Promise<Told> => call(`/api/studies/${begun.id}`);
  await expect.poll(async () => (await now()).state, { timeout: 30_000 }).not.toBe('running');
  return now();
};
const compare = (smallestChange: number): Promise<Told> =>
  call('/api/studies', { kind: 'compare', proposed: { smallestChange } }).then(answered);
const saved = async (id: string): Promise<Uint8Array<ArrayBuffer>> => {
  const answer = await fetch(`${service.httpUrl}/api/studies/${id}/bundle`);
  expect([answer.status, answer.headers.get('Content-Type')]).toEqual([200, 'application/gzip']);
  expect(answer.headers.get('Content-Disposition')).toContain(`study-${id}.gz`);
  return new Uint8Array(await answer.arrayBuffer());
};
const opened = async (bytes: Uint8Array<ArrayBuffer>): Promise<Told> => {
  let now = await begun(bytes.length);
  expect(now).toMatchObject({ status: 201, file: 'mine.gz', bytes: bytes.length, received: 0, maxPieceBytes: 65_536 });
  while (now.received < bytes.length) {
    now = await put(now.id, now.received, bytes.slice(now.received, now.received + now.maxPieceBytes));
    expect(now.status).toBe(200);
  }
  return answered(await call(`${BUNDLES}/${now.id}/open`, undefined, 'POST'));
};

describe('a study at the desk', () => {
  test('is saved as a bundle that the command line reads, and comes back to the last byte', async () => {
    const study = await compare(0.03);
    const bytes = await saved(study.id);
    const file = join(root, 'study.gz');
    writeFileSync(file, bytes);
    const bundle = await readBundleFile(file, versionsHere());
    expect(JSON.parse(bundle.report)).toEqual(study.answer.report);
    const { answer } = await opened(bytes);
    expect(answer).toMatchObject({ kind: 'open', name: 'mine.gz', isSame: true, plant: { site: { id: 'hall-1' } } });
    expect(answer.report).toEqual(study.answer.report);
    expect(readdirSync(join(dir, 'studies'))).toEqual([]);
  });

  test('can be saved after another question, but not once the log says otherwise', async () => {
    const first = await compare(0.03);
    const second = await compare(0.04);
    const before = gunzipSync(await saved(first.id)).toString();
    expect(before).toContain('"smallestChange":0.03');
    const entry = { gun: 'gun-1', part: 'pump-insert', action: 'replaced', found: 'worn', note: '' };
    const time = '2025-09-23T05:00:00Z';
    expect((await call('/api/log', { ...entry, time })).status).toBe(201);
    await compare(0.03);
    const { status, code, detail } = await call(`/api/studies/${second.id}/bundle`);
    expect([status, code]).toEqual([422, 'STUDY_UNUSABLE']);
    expect(detail).toMatch(/came in since this answer.*compare again, then save$/);
    expect(readdirSync(join(dir, 'studies'))).toEqual([]);
  });

  test('is asked on the command line too: bounds hold for a bundle as for the folder, and idle overrides are told', async () => {
    const settings = join(root, 'settings.yaml');
    writeFileSync(settings, 'smallestChange: 0.03\noverrides: [{ powder: p-none, learningRuns: 80 }]\n');
    const asked = await remarks(addReplay, 'replay', '--data', dir, '--settings', settings, '--min-warning', '1');
    expect(asked.status).toBe(3);
    expect(asked.text).toMatch(/overrides\[0\]\.powder: found p-none, which the plant file does not name/);
    expect(asked.text).toMatch(/^bound broken: spray hours of warning/m);
    const file = join(root, 'bound.gz');
    writeFileSync(file, await saved((await compare(0.03)).id));
    const again = await remarks(addReplay, 'replay', '--bundle', file, '--min-warning', '1', '--max-false', '50');
    expect(again.status).toBe(3);
    expect(again.text).toMatch(/reproduced, the same to the last byte\nbound broken: spray hours of warning/);
    expect((await remarks(addReplay, 'replay', '--bundle', file)).status).toBe(0);
  });

  test('comes in pieces, each once and in its place, and goes on where it was interrupted', async () => {
    const bytes = await saved((await compare(0.03)).id);
    const { id } = await begun(bytes.length);
    expect((await put(id, 0, bytes.slice(0, 1000))).received).toBe(1000);
    for (const offset of [0, 999, 1001]) {
      const { status, detail } = await put(id, offset, bytes.slice(offset, 2000));
      expect([status, detail]).toEqual([
        409,
        `mine.gz: 1000 bytes of ${bytes.length} are here, found an offset of ${offset}`,
      ]);
    }
    expect((await call(`${BUNDLES}/${id}/open`, undefined, 'POST')).detail).toBe(
      `mine.gz: 1000 bytes of ${bytes.length} are here`,
    );
    expect(await begun(bytes.length)).toMatchObject({ id, received: 1000 });
    expect((await put(id, 1000, new Uint8Array(65_537))).status).toBe(413);
    const { received } = await begun(bytes.length);
    expect(received).toBeLessThanOrEqual(66_536);
    expect((await call(`${BUNDLES}/${id}`, undefined, 'DELETE')).removed).toBe(id);
    expect((await put(id, received, bytes.slice(received))).status).toBe(404);
    expect(readdirSync(join(dir, 'studies'))).toEqual([]);
  });

  test('nine at once are one too many: that which was begun first gives way', async () => {
    const ids = [];
    for (let one = 0; one < 9; one++) ids.push((await begun(5, `study-${one}.gz`)).id);
    expect((await put(ids[0], 0, new Uint8Array(5))).status).toBe(404);
    for (const id of ids.slice(1)) {
      expect((await put(id, 0, new Uint8Array(5))).status).toBe(200);
      await call(`${BUNDLES}/${id}`, undefined, 'DELETE');
    }
    expect(readdirSync(join(dir, 'studies'))).toEqual([]);
  });

  test('of another version, cut off, or no study at all is refused in one sentence that names the file', async () => {
    const bytes = await saved((await compare(0.03)).id);
    const whole = gunzipSync(bytes).toString();
    const other = whole.replace(`"driftline":"${VERSION}"`, '"driftline":"9.9.9"');
    const refusal = async (made: Buffer): Promise<string> => (await opened(new Uint8Array(made))).fault;
    expect(await refusal(gzipSync(other))).toMatch(/^mine\.gz, line 1: found a study made with driftline 9\.9\.9/);
    expect(await refusal(Buffer.from(bytes.slice(0, 500)))).toMatch(/^mine\.gz: found gzip data that ends too early/);
    const expected = 'expected a study bundle, as “Save this study” or driftline replay --save writes it';
    for (const junk of ['time,gun\n', '{"kind":"something"}', 'PNG\u0000\u0001', '[]'])
      expect(await refusal(Buffer.from(junk))).toBe(`mine.gz: found something else, ${expected}`);
    expect(await refusal(Buffer.from(''))).toBe(`mine.gz: found nothing in it, ${expected}`);
    const long = await begun(4_000_001);
    expect(long.status).toBe(413);
    expect(long.detail).toMatch(
      /^mine\.gz: found 4000001 bytes, expected a study bundle of no more than 4000000 \(http\.maxImportBytes\)/,
    );
    const lines = whole.trimEnd().split('\n');
    const damaged = (line: number, from: string | RegExp, to: string): Promise<string> =>
      refusal(Buffer.from(lines.map((text, at) => (at === line - 1 ? text.replace(from, to) : text)).join('\n')));
    expect(await damaged(2, '"smallestChange":0.03', '"smallestChange":"much"')).toMatch(
      /^mine\.gz, line 2 \(settings, plant and log\): proposed\.smallestChange: found "much", expected a number$/,
    );
    expect(await damaged(2, /.{20}$/, '')).toMatch(
      /^mine\.gz, line 2: found what is no whole JSON \(\d+ bytes\), expected settings, plant and log$/,
    );
    expect(await damaged(3, '"firstTime":', '"firstTime":null,"was":')).toMatch(
      /^mine\.gz, line 3 \(runs of a station\): firstTime: found null, expected a number, and 1 more fault$/,
    );
    expect(await refusal(Buffer.from(lines.slice(0, -1).join('\n')))).toMatch(
      /^mine\.gz, line \d+: found the end of the file, expected more stations or the report: it was cut off$/,
    );
    expect(await damaged(3, '"firstTime":1', '"firstTime":2')).toMatch(/found another content than its SHA-256 is of/);
    expect((await call('/api/studies/77/bundle')).status).toBe(404);
    const { id } = await answered(await call('/api/studies', { kind: 'curve', proposed: {} }));
    expect((await call(`/api/studies/${id}/bundle`)).detail).toMatch(/found no answered comparison/);
    expect(readdirSync(join(dir, 'studies'))).toEqual([]);
  });
});
