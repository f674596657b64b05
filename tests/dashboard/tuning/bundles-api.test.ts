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
  const http = { port: 0, maxImportBytes: 4_000_000 };
  const config = OperationConfig.parse({ broker: { port: 0 }, http });
  service = await startService({ plant: PLANT, dir, settings: null, config, log });
});
afterAll(() => service.stop());
afterAll(() => rmSync(root, { recursive: true }));

// biome-ignore lint/suspicious/noExplicitAny: answers of several addresses
type Told = any;
const call = async (path: string, body?: object, bytes?: Uint8Array<ArrayBuffer>): Promise<Told> => {
  const answer = await fetch(service.httpUrl + path, {
    ...(body === undefined && bytes === undefined ? {} : { method: 'POST' }),
    ...(body === undefined ? {} : { headers: { 'Content-Type': 'application/json' }, body: JSON.stringify(body) }),
    ...(bytes === undefined ? {} : { headers: { 'Content-Type': 'application/octet-stream' }, body: bytes }),
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
const opened = (bytes: Uint8Array<ArrayBuffer>): Promise<Told> =>
  call('/api/studies/bundles?name=mine.gz', undefined, bytes).then(answered);

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
    const long = await call('/api/studies/bundles?name=mine.gz', undefined, new Uint8Array(4_000_001));
    expect(long.status).toBe(413);
    expect(long.detail).toMatch(
      /^mine\.gz: found more than 4000000 bytes, expected a study bundle of no more \(http\.maxImportBytes\)/,
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
