import type { Command } from 'commander';
import { accountCommand } from './account-command.ts';
import { countArgument } from './arguments.ts';

export function addAudit(program: Command): void {
  accountCommand<{ limit?: number }>(
    program,
    'audit',
    'Print who changed what, newest first, as NDJSON.',
    ({ store }, _name, { limit }) =>
      store.audit
        .list(limit === undefined ? {} : { limit })
        .map((entry) => JSON.stringify({ ...entry, at: new Date(entry.at).toISOString() }))
        .join('\n'),
  ).option('--limit <n>', 'at most so many entries; default all', countArgument);
}
