import type { Command } from 'commander';
import { atAccountDesk } from '../dashboard/index.ts';
import { whoRuns } from './who-runs.ts';

/** Longest detail of an entry, characters. Source: own choice, as long as a request's. */
const LONGEST_DETAIL = 1000;

/** Commands that change what a data folder says; those of accounts write their entries themselves. */
const CHANGES: Readonly<Record<string, (word: string, options: Readonly<Record<string, unknown>>) => boolean>> = {
  log: () => true,
  baseline: (word) => word === 'relearn' || word === 'undo',
  changes: (word) => word !== 'list',
  telling: (word) => word === 'test',
  stock: (word) => word !== 'list' && word !== 'reorder',
  cost: (word, { set }) => word === 'losses' || (word === 'figures' && set !== undefined),
  import: (_word, { dryRun, preview }) => dryRun !== true && preview === undefined,
};

/** Writes each command that changed something into the audit trail of its data folder, once it has succeeded. */
export function auditCommands(program: Command): void {
  program.hook('postAction', async (_program, done) => {
    const words = pathOf(done, program);
    const options = done.opts<Record<string, unknown>>();
    const { data, ...given } = options;
    if (typeof data !== 'string' || !CHANGES[words[0] ?? '']?.(words[1] ?? '', options)) return;
    const text = JSON.stringify(done.args.length > 0 ? { ...given, arguments: done.args } : given);
    const detail = text.length > LONGEST_DETAIL ? `${text.slice(0, LONGEST_DETAIL)}…` : text;
    await atAccountDesk(
      { dir: data, create: false, who: whoRuns(), now: Date.now() },
      ({ store, actor: { who, origin, now } }) => {
        store.audit.add({ at: now, who, what: `driftline ${words.join(' ')}`, detail, origin });
      },
    );
  });
}

/** The words that name a command, e.g. `log add`. */
function pathOf(one: Command, program: Command): string[] {
  return one === program || one.parent === null ? [] : [...pathOf(one.parent, program), one.name()];
}
