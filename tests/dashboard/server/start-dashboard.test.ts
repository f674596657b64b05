import { mkdirSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { expect, test } from 'vitest';

import type { HistoryQuestion } from '../../../analyzer/history/gun-history.ts';
import { askedFirst } from '../../../collector/contract/history-look.ts';
import { startDashboard } from '../../../dashboard/server/index.ts';
import { hall } from '../hall.ts';
import { openHall, pageFolder } from '../open-hall.ts';

const options = (webFolder: string, port: number, host = '127.0.0.1') => ({
  sources: hall().sources,
  port,
  host,
  now: () => 0,
  onFault: () => undefined,
  webFolder,
});

test('port 0 takes a free one, which the address names', async () => {
  const { url, dashboard } = await openHall();
  expect(dashboard.port).toBeGreaterThan(0);
  expect(url).toBe(`http://127.0.0.1:${dashboard.port}`);
});

test('a port in use is said plainly', async () => {
  const { dashboard } = await openHall();
  await expect(startDashboard(options(pageFolder(), dashboard.port))).rejects.toMatchObject({
    code: 'PORT_UNUSABLE',
    message: `HTTP address 127.0.0.1, port ${dashboard.port}: is in use by another program`,
  });
});

test('an address of another machine is said plainly', async () => {
  await expect(startDashboard(options(pageFolder(), 0, '192.0.2.1'))).rejects.toMatchObject({
    code: 'PORT_UNUSABLE',
    message: 'HTTP address 192.0.2.1, port 0: is not on this machine',
  });
});

test('screens that were not built are missed at the start', async () => {
  const empty = mkdtempSync(join(tmpdir(), 'driftline-empty-'));
  await expect(startDashboard(options(empty, 0))).rejects.toThrow(/the screens are not built.*npm run build/);
});

test.each(['/', '/jobs', '/jobs/gun-01/sensor:conveying%2Fflow/2026-03-09T13:25:00Z', '/log?gun=gun-01'])(
  '%s shows a screen',
  async (path) => {
    const { get } = await openHall();
    const { status, type, headers } = await get(path);
    expect([status, type]).toEqual([200, 'text/html; charset=utf-8']);
    expect(headers.get('Cache-Control')).toBe('no-cache');
  },
);

test('the page’s files are served from memory, for a year, and no other file is', async () => {
  const folder = pageFolder();
  mkdirSync(join(folder, 'assets'));
  writeFileSync(join(folder, 'assets', 'index-abc.js'), 'let a;');
  writeFileSync(join(folder, 'assets', 'notes.txt'), 'private');
  const { get } = await openHall({ webFolder: folder });
  rmSync(folder, { recursive: true });
  const { status, type, headers, body } = await get('/assets/index-abc.js');
  expect([status, type, body]).toEqual([200, 'text/javascript; charset=utf-8', 'let a;']);
  expect(headers.get('Cache-Control')).toContain('immutable');
  for (const path of ['/assets/notes.txt', '/assets/', '/assets/..%2findex.html', '/index.html'])
    expect((await get(path)).status, path).toBe(404);
});

test('files of a page are packed once, for who takes them packed', async () => {
  const folder = pageFolder();
  mkdirSync(join(folder, 'assets'));
  const script = 'let a = 0;\n'.repeat(500);
  writeFileSync(join(folder, 'assets', 'index-abc.js'), script);
  writeFileSync(join(folder, 'assets', 'face-abc.woff2'), script);
  const { url } = await openHall({ webFolder: folder });
  const ask = async (name: string, encoding: string) => {
    const response = await fetch(`${url}/assets/${name}`, { headers: { 'Accept-Encoding': encoding } });
    const { headers } = response;
    return [headers.get('Content-Encoding'), headers.get('Vary'), (await response.text()) === script];
  };
  for (let turn = 0; turn < 2; turn++)
    expect(await ask('index-abc.js', 'gzip, br')).toEqual(['gzip', 'Accept-Encoding', true]);
  expect(await ask('index-abc.js', 'identity')).toEqual([null, 'Accept-Encoding', true]);
  expect(await ask('index-abc.js', 'gzip;q=0')).toEqual([null, 'Accept-Encoding', true]);
  expect(await ask('face-abc.woff2', 'gzip')).toEqual([null, null, true]);
});

/** A build as the bundler's manifest tells of it: what a screen imports of the page is not its own. */
const MANIFEST = {
  'index.html': { file: 'assets/index-abc.js', imports: ['_runtime.js'], css: ['assets/index-abc.css'] },
  '_runtime.js': { file: 'assets/runtime-abc.js' },
  '_csv.js': { file: 'assets/csv-abc.js', imports: ['_runtime.js'] },
  'history/history-screen.tsx': {
    file: 'assets/history-screen-d1.js',
    imports: ['index.html', '_runtime.js', '_csv.js'],
    css: ['assets/history-screen-d2.css'],
  },
  'settings/settings-screen.tsx': { file: 'assets/settings-screen-e1.js' },
};

function builtFolder(): string {
  const folder = pageFolder();
  writeFileSync(join(folder, 'manifest.json'), JSON.stringify(MANIFEST));
  return folder;
}

const FILES = [
  '</assets/csv-abc.js>; rel="modulepreload"',
  '</assets/history-screen-d1.js>; rel="modulepreload"',
  '</assets/history-screen-d2.css>; rel="preload"; as="style"',
];
/** RFC 8288, section 3: parameters after the target, links parted by commas. */
const linksOf = (headers: Headers): string[] | undefined => headers.get('Link')?.split(', ').sort();
const answered = (path: string): string => `<${path}>; rel="preload"; as="fetch"; crossorigin`;

test('a page names its own files with it, so that they come beside the script that asks for them', async () => {
  const { get } = await openHall({ webFolder: builtFolder() });
  expect(linksOf((await get('/settings')).headers)).toEqual(['</assets/settings-screen-e1.js>; rel="modulepreload"']);
  expect((await get('/')).headers.get('Link')).toBeNull();
  expect((await get('/stock')).headers.get('Link')).toBeNull();
});

test('the page of a gun’s past names what it asks for first', async () => {
  const { get } = await openHall({ webFolder: builtFolder() });
  const asked = askedFirst('?gun=gun%2001%3E&from=2026-03-02T06:00:00Z');
  expect(asked[1]).toBe('/api/guns/gun%2001%3E/history?from=2026-03-02T06%3A00%3A00.000Z&points=330');
  expect(linksOf((await get('/history?gun=gun%2001%3E&from=2026-03-02T06:00:00Z')).headers)).toEqual(
    [...FILES, ...['/api/me', ...asked].map(answered)].sort(),
  );
  expect(linksOf((await get('/history')).headers)).toEqual([...FILES, answered('/api/me')].sort());
  expect(linksOf((await get(`/history?gun=${'a'.repeat(500)}`)).headers)).toEqual(FILES);
});

test('the past that a page asks for first is begun with the page, once, and not where it would be refused', async () => {
  const { sources } = hall();
  const asked: string[] = [];
  const histories = {
    ready: () => undefined,
    history: async (question: HistoryQuestion) => {
      asked.push(question.gun);
      return { gun: question.gun, from: question.from };
    },
  } as unknown as NonNullable<typeof sources.histories>;
  const { get } = await openHall({ sources: { ...sources, histories } });
  const search = '?gun=gun-01&from=2026-03-02T06:00:00Z&to=2026-03-03T06:00:00Z';
  await get(`/history${search}`);
  expect(asked).toEqual(['gun-01']);
  const path = askedFirst(search)[1]!;
  expect((await get(path)).body).toMatchObject({ gun: 'gun-01', from: Date.parse('2026-03-02T06:00:00Z') });
  expect(asked).toHaveLength(1);
  await get(path);
  expect(asked).toHaveLength(2);
  for (const refused of ['?gun=gun-99', '?gun=gun-01&from=1970-01-01T00:00:00Z', '?from=2026-03-02T06:00:00Z'])
    await get(`/history${refused}`);
  expect(asked).toHaveLength(2);
});
