import { spawnSync } from 'node:child_process';
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { afterAll, expect, test } from 'vitest';
import { newProgram } from '../../commands/command.ts';
import { addServe } from '../../commands/serve.ts';
import { hasDebianTool } from '../debian-tool.ts';

const read = (name: string): string =>
  readFileSync(fileURLToPath(new URL(`../../deploy/${name}`, import.meta.url)), 'utf8');
const dir = mkdtempSync(join(tmpdir(), 'driftline-unit-'));
afterAll(() => rmSync(dir, { recursive: true }));

const analyze = hasDebianTool('/usr/bin/systemd-analyze', 'systemd', 'the check of the systemd unit');

/** The unit with programs that are on this machine, wherever the program is installed later. */
const unit = join(dir, 'driftline.service');
writeFileSync(unit, read('driftline.service').replaceAll(/^(ExecStart(?:Pre)?=)\S+/gm, `$1${process.execPath}`));

test.skipIf(!analyze)('systemd takes the unit as it is', () => {
  const { status, stderr } = spawnSync('systemd-analyze', ['verify', unit], { encoding: 'utf8' });
  expect(stderr.split('\n').filter((line) => line.includes('driftline.service'))).toEqual([]);
  expect(status).toBe(0);
});

test.skipIf(!analyze)('systemd finds the unit little exposed', () => {
  // In tenths: systemd itself calls 2.0 and below "OK" or better, 10 is worst.
  const args = ['security', '--offline=true', '--no-pager', '--threshold=20', unit];
  const { status, stdout } = spawnSync('systemd-analyze', args, { encoding: 'utf8' });
  expect(stdout).toMatch(/Overall exposure level/);
  expect(status).toBe(0);
});

test('a start that failed, on a full disk say, is tried again without end', () => {
  const lines = read('driftline.service').split('\n');
  // systemd.unit(5): "StartLimitIntervalSec= ... set to 0 to disable any kind of rate limiting"; else it gives up within minutes.
  expect(lines).toContain('StartLimitIntervalSec=0');
  expect(lines).toContain('Restart=on-failure');
});

test('unit and container file start the service with options that it has', () => {
  const program = newProgram();
  addServe(program);
  const known = program.commands[0]!.options.map(({ long }) => long);
  const used = [
    ...read('driftline.service').matchAll(/^ExecStart=.* serve (.*)$/gm),
    ...read('Containerfile').matchAll(/^CMD (.*)$/gm),
  ];
  expect(used).toHaveLength(2);
  for (const [, args = ''] of used) for (const [option] of args.matchAll(/--[a-z-]+/g)) expect(known).toContain(option);
});

test('unit and container give the service the same environment', () => {
  const unit = [...read('driftline.service').matchAll(/^Environment=(.*)$/gm)].map(([, pair]) => pair);
  const container = [...read('Containerfile').matchAll(/^ENV (.*)$/gm)].flatMap(([, pairs = '']) => pairs.split(' '));
  expect(unit.length).toBeGreaterThan(0);
  expect(container).toEqual(unit);
});
