import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import type { Command } from 'commander';
import { expect, test } from 'vitest';
import { openStore } from '../../collector/index.ts';
import { addCommands } from '../../commands/all.ts';
import { auditCommands, audited, isAudited } from '../../commands/audited.ts';
import { command, newProgram } from '../../commands/command.ts';
import { printed } from './printed.ts';

/** Read a data folder, keep it, or move it, and leave what it says alone. */
const READERS = [
  ...['serve', 'demo', 'replay', 'promise', 'alerts', 'parts', 'doctor', 'life', 'journal', 'report', 'audit'],
  ...['compact', 'backup', 'restore', 'verify', 'jobs list', 'plan due', 'plan calendar', 'stock list'],
  ...[
    'stock reorder',
    'cost list',
    'baseline show',
    'baseline list',
    'changes list',
    'telling list',
    'check-config',
    'damage list',
  ],
];
/** Write their entries in one transaction with the change. */
const ACCOUNTS = ['person', 'station', 'token'];

/** Commands that take a data folder, by the words that name them. */
function onData(parent: Command, words: readonly string[] = []): [string, Command][] {
  return parent.commands.flatMap((one) => {
    const path = [...words, one.name()];
    const here = one.options.some(({ long }) => long === '--data');
    return [...(here ? [[path.join(' '), one] as [string, Command]] : []), ...onData(one, path)];
  });
}

test('each command that takes a data folder either writes into the audit trail or is known to change nothing', () => {
  const program = newProgram();
  addCommands(program);
  const known = (path: string): boolean =>
    READERS.includes(path) || path.startsWith('export ') || ACCOUNTS.includes(path.split(' ')[0] ?? '');
  const commands = onData(program);
  expect(commands.length).toBeGreaterThan(60);
  const wrong = commands.filter(([path, one]) => isAudited(one) === known(path)).map(([path]) => path);
  expect(wrong).toEqual([]);
});

test('a change is written down with its options, but not one that failed or only showed', async () => {
  const dir = mkdtempSync(join(tmpdir(), 'driftline-audited-'));
  const add = (program: Command): void => {
    audited(command(program, 'shelf', 'x'), ({ set }) => set !== undefined)
      .requiredOption('--data <dir>', 'x')
      .option('--set <n>', 'x')
      .action(({ set }: { set?: string }) => {
        if (set === 'bad') throw new RangeError('no such shelf');
      });
    auditCommands(program);
  };
  try {
    openStore(dir, { create: true }).close();
    await printed(add, 'shelf', '--data', dir);
    await expect(printed(add, 'shelf', '--data', dir, '--set', 'bad')).rejects.toThrow('no such shelf');
    await printed(add, 'shelf', '--data', dir, '--set', '3');
    const store = openStore(dir, { create: false });
    const entries = store.audit.list().map(({ what, detail }) => [what, detail]);
    store.close();
    expect(entries).toEqual([['driftline shelf', '{"set":"3"}']]);
  } finally {
    rmSync(dir, { recursive: true, force: true });
  }
});
