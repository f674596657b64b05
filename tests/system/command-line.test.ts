import { spawn } from 'node:child_process';
import { once } from 'node:events';
import { closeSync, existsSync, mkdirSync, openSync, readdirSync, writeFileSync } from 'node:fs';
import { createServer } from 'node:net';
import { join } from 'node:path';
import { afterAll, describe, expect, test } from 'vitest';
import { PROGRAM, runProgram, startProgram, tempFolder } from './program.ts';

const folder = tempFolder('command-line');
afterAll(() => folder.remove());
const file = (name: string, text: string): string => {
  const path = join(folder.path, name);
  writeFileSync(path, text);
  return path;
};
const plant = file('plant.yaml', 'site: { id: hall-2, timezone: Europe/Vienna }\nguns: [{ id: gun-01 }]\n');

/** One line, no stack trace, nothing that a terminal acts on. */
function expectOneLine(stderr: string): void {
  expect(stderr).toMatch(/^[^\p{Cc}]+\n$/u);
  expect(stderr).not.toMatch(/\bat .*:\d+:\d+/);
}

describe('arguments', () => {
  test.each([
    { args: ['frobnicate'], says: 'unknown command' },
    { args: ['serve'], says: '--plant' },
    { args: ['serve', '--plant', plant, '--data', join(folder.path, 'x'), '--mqtt-port', '70000'], says: '0 to 65535' },
    { args: ['serve', '--plant', plant, '--data', join(folder.path, 'x'), '--bind', '0.0.0.0'], says: 'loopback' },
    { args: ['serve', '--plant', join(folder.path, 'no.yaml'), '--data', join(folder.path, 'x')], says: 'no.yaml' },
    { args: ['analyze', '--plant', plant], says: '--readings' },
    { args: ['simulate', '--scenario', 'nonsense', '--out', join(folder.path, 'x')], says: 'insert-lives' },
    { args: ['simulate', '--scenario', 'seals'], says: '--out' },
    { args: ['log', 'add', '--data', join(folder.path, 'none'), '--gun', 'gun-01'], says: '--part' },
    { args: ['log', 'frobnicate'], says: 'frobnicate' },
    { args: ['log'], says: 'found no command' },
    { args: [], says: 'found no command' },
    { args: ['evaluate', '--seeds', '0'], says: '1 or more' },
    { args: ['export', 'readings', '--data', join(folder.path, 'x'), '--from', 'yesterday'], says: '--from' },
  ])('"$args" ends with status 2 and one line that names the fault', async ({ args, says }) => {
    const { status, stdout, stderr } = await runProgram(...args);
    expect(stderr).toContain(says);
    expectOneLine(stderr);
    expect({ status, stdout }).toEqual({ status: 2, stdout: '' });
  });

  test('help explains every command and ends with status 0', async () => {
    const { status, stdout } = await runProgram('--help');
    expect(status).toBe(0);
    for (const name of ['serve', 'demo', 'analyze', 'simulate', 'log', 'export', 'compact'])
      expect(stdout).toContain(name);
  });
});

describe('what the machine does not give', () => {
  test('a port in use ends with status 1 and says which', async () => {
    const taken = createServer();
    const port = await new Promise<number>((resolve) => {
      taken.listen(0, '127.0.0.1', () => resolve((taken.address() as { port: number }).port));
    });
    const data = join(folder.path, 'port');
    const { status, stderr } = await runProgram(
      ...['serve', '--plant', plant, '--data', data, '--mqtt-port', String(port), '--http-port', '0'],
    );
    taken.close();
    expect(status).toBe(1);
    expectOneLine(stderr);
    expect(stderr).toContain(String(port));
  });

  test('a data folder that is a file ends with status 1 and names it', async () => {
    const path = file('not-a-folder', 'text');
    const { status, stderr } = await runProgram('serve', '--plant', plant, '--data', path);
    expect(status).toBe(1);
    expectOneLine(stderr);
    expect(stderr).toContain(path);
  });

  test('a folder without a store cannot be exported, compacted or logged to', async () => {
    const empty = join(folder.path, 'empty');
    mkdirSync(empty);
    for (const args of [
      ['export', 'readings', '--data', empty],
      ['export', 'findings', '--data', empty],
      ['compact', '--data', empty],
      ['compact', '--data', join(empty, 'missing')],
      ['log', 'add', '--data', empty, '--gun', 'gun-01', '--part', 'nozzle', '--action', 'replaced'],
    ]) {
      const { status, stderr } = await runProgram(...args);
      expect({ args, status }).toEqual({ args, status: 2 });
      expectOneLine(stderr);
      expect(stderr).toContain(empty);
      expect(stderr).toContain('holds no store');
    }
    expect(readdirSync(empty)).toEqual([]);
  });

  test('a second service on the same folder is refused while the first goes on', async () => {
    const data = join(folder.path, 'shared');
    const first = await startProgram('serve', '--plant', plant, '--data', data);
    const second = await runProgram(
      ...['serve', '--plant', plant, '--data', data, '--mqtt-port', '0', '--http-port', '0'],
    );
    expect(second.status).toBe(1);
    expectOneLine(second.stderr);
    expect((await fetch(`${first.httpUrl}/healthz`)).status).toBe(200);
    expect(await first.stop()).toBe(0);
  });
});

test('settings that differ from the current version become a new one, the same do not', async () => {
  const data = join(folder.path, 'settings');
  const settings = file('settings.yaml', 'changeLimitExcessAir: 0.25\n');
  for (let start = 0; start < 2; start++) {
    const service = await startProgram('serve', '--plant', plant, '--data', data, '--settings', settings);
    await service.stop();
  }
  const { openStore } = await import('../../collector/index.ts');
  const store = openStore(data);
  expect(
    store.settings.list().map(({ version, settings: { changeLimitExcessAir } }) => [version, changeLimitExcessAir]),
  ).toEqual([[1, 0.25]]);
  store.close();
});

describe.skipIf(!existsSync('/dev/full'))('standard output on a full disk', () => {
  const start = (...args: readonly string[]) => {
    const full = openSync('/dev/full', 'w');
    const child = spawn(process.execPath, [PROGRAM, ...args], { stdio: ['ignore', full, 'pipe'] });
    closeSync(full);
    let stderr = '';
    child.stderr!.setEncoding('utf8').on('data', (piece: string) => {
      stderr += piece;
    });
    return { child, stderr: () => stderr, closed: once(child, 'close') };
  };

  test('ends a command with status 1 and one line', async () => {
    const { stderr, closed } = start('--help');
    expect((await closed)[0]).toBe(1);
    expect(stderr()).toContain('standard output: cannot be written (ENOSPC');
    expectOneLine(stderr());
  });

  test('leaves the service running, which says once that its log is lost', async () => {
    const data = join(folder.path, 'full-log');
    const { child, stderr, closed } = start(
      ...['serve', '--plant', plant, '--data', data, '--mqtt-port', '0', '--http-port', '0'],
    );
    await expect.poll(stderr, { timeout: 20_000 }).toContain('ready mqtt=');
    const [, http = ''] = /http=(\S+)/.exec(stderr()) ?? [];
    expect((await fetch(`${http}/readyz`)).status).toBe(200);
    child.kill('SIGTERM');
    expect((await closed)[0]).toBe(0);
    expect(stderr().match(/the log cannot be written/g)).toHaveLength(1);
  });
});
