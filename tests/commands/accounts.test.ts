import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, expect, test, vi } from 'vitest';
import { openStore } from '../../collector/index.ts';
import { addAudit } from '../../commands/audit.ts';
import { auditCommands } from '../../commands/audited.ts';
import { newProgram } from '../../commands/command.ts';
import { addLog } from '../../commands/log.ts';
import { addPersonCommand } from '../../commands/person.ts';
import { addStationCommand } from '../../commands/station.ts';
import { addTokenCommand } from '../../commands/token.ts';

let dir: string;

beforeEach(() => {
  dir = join(mkdtempSync(join(tmpdir(), 'driftline-accounts-')), 'data');
});
afterEach(() => {
  vi.restoreAllMocks();
  rmSync(join(dir, '..'), { recursive: true, force: true });
});

/** What a command writes on standard output and standard error. */
async function run(...args: string[]): Promise<{ out: string; err: string }> {
  const said = { out: '', err: '' };
  vi.spyOn(process.stdout, 'write').mockImplementation((text) => {
    said.out += String(text);
    return true;
  });
  vi.spyOn(process.stderr, 'write').mockImplementation((text) => {
    said.err += String(text);
    return true;
  });
  const program = newProgram();
  for (const add of [addPersonCommand, addStationCommand, addTokenCommand, addLog, addAudit]) add(program);
  auditCommands(program);
  await program.parseAsync(['node', 'driftline', ...args, '--data', dir]);
  return said;
}

test('a person is added before the first start, with the link alone on standard output', async () => {
  const { out, err } = await run('person', 'add', 'Anna', '--role', 'administrator');
  expect(out).toMatch(/^http:\/\/127\.0\.0\.1:8080\/welcome#[\w-]{43}\n$/);
  expect(err).toContain('Anna (administrator) chooses a password');
  expect((await run('person', 'list')).out).toMatch(/^Anna {2}administrator {2}invited {2}since .* {2}0 sessions\n$/);
});

test.each([
  [['person', 'add', 'Anna', '--role', 'boss'], 'expected one of wall, fitter, engineer, administrator'],
  [['person', 'add', 'a\u0007b', '--role', 'wall'], 'expected 1 to 60 letters'],
  [['person', 'add', 'LOCAL', '--role', 'wall'], 'expected 1 to 60 letters'],
  [['person', 'role', 'Boris', '--role', 'wall'], 'nobody is named "Boris"'],
  [['station', 'add', 'Gun 1'], 'expected 1 to 40 of a-z'],
  [['station', 'add', 'gun-01', '--kind', 'boss'], 'station, reader'],
  [['token', 'add', '', '--role', 'wall'], 'expected 1 to 60 visible characters'],
  [['token', 'revoke', 'x'], 'a number that'],
  [['token', 'revoke', '7'], 'no token or link has the number 7'],
])('"%s" names the fault', async (args, says) => {
  openStore(dir, { create: true }).close();
  await expect(run(...args)).rejects.toThrow(says);
});

test('a station’s secret, a token and a wall’s link are alone on standard output, and are listed without', async () => {
  const secrets = [
    (await run('station', 'add', 'gun-01')).out,
    (await run('station', 'add', 'andon', '--kind', 'reader')).out,
    (await run('station', 'rotate', 'gun-01')).out,
    (await run('token', 'add', 'backup', '--role', 'engineer')).out,
  ].map((text) => text.trim());
  for (const secret of secrets) expect(secret).toMatch(/^[\w-]{43}$/);
  expect(new Set(secrets).size).toBe(4);
  expect((await run('token', 'wall', 'Hall 2')).out).toMatch(/\/wall\/[\w-]{43}\n$/);
  await run('station', 'revoke', 'andon');
  await expect(run('station', 'rotate', 'andon')).rejects.toThrow('"andon" was revoked at');
  expect((await run('station', 'rotate', 'andon', '--bring-back')).out.trim()).toMatch(/^[\w-]{43}$/);
  await run('station', 'revoke', 'andon');
  await expect(run('token', 'revoke', 'Hall 2')).rejects.toThrow('number: found "Hall 2", expected a number that');
  await run('token', 'revoke', '1');
  const lists = (await run('station', 'list')).out + (await run('token', 'list')).out;
  expect(lists.split('\n').map((line) => line.replace(/ {2,}/g, ' ').split(/ (secret|since)/)[0])).toEqual([
    'andon reader revoked',
    'gun-01 station active',
    '1 token backup engineer revoked',
    '2 wall link Hall 2 wall active',
    '',
  ]);
  const trail = (await run('audit')).out;
  for (const secret of secrets) expect(lists + trail).not.toContain(secret);
  expect(trail.trim().split('\n')).toHaveLength(9);
});

test('a log entry from the command line is in the audit trail with who wrote it', async () => {
  const store = openStore(dir, { create: true });
  const plant = { site: { id: 'hall-2', timezone: 'Europe/Vienna' }, guns: [{ id: 'gun-01' }] };
  store.states.put('plant', Buffer.from(JSON.stringify(plant)));
  store.close();
  await run('log', 'add', '--gun', 'gun-01', '--part', 'nozzle', '--action', 'cleaned');
  await expect(run('log', 'add', '--gun', 'gun-99', '--part', 'nozzle', '--action', 'cleaned')).rejects.toThrow();
  const trail = (await run('audit')).out
    .trim()
    .split('\n')
    .map((line) => JSON.parse(line) as object);
  expect(trail).toEqual([
    expect.objectContaining({
      what: 'driftline log add',
      detail: expect.stringContaining('"gun":"gun-01"'),
      origin: 'command line',
    }),
  ]);
});
