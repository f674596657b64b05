import { mkdirSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { expect, test } from 'vitest';
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

test('a page names its own files with it, so that they come beside the script that asks for them', async () => {
  const folder = pageFolder();
  mkdirSync(join(folder, 'assets'));
  for (const name of ['index-abc.js', 'history-screen-d1.js', 'history-screen-d2.css', 'settings-screen-e1.js'])
    writeFileSync(join(folder, 'assets', name), '');
  const { get } = await openHall({ webFolder: folder });
  // RFC 8288, section 3: parameters after the target, links parted by commas.
  const links = (await get('/history?gun=gun-01')).headers.get('Link')?.split(', ').sort();
  expect(links).toEqual([
    '</assets/history-screen-d1.js>; rel="modulepreload"',
    '</assets/history-screen-d2.css>; rel="preload"; as="style"',
  ]);
  expect((await get('/')).headers.get('Link')).toBeNull();
  expect((await get('/stock')).headers.get('Link')).toBeNull();
});
