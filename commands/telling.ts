import type { Command } from 'commander';
import { readConfig } from '../collector/index.ts';
import { csvText, withTelling } from '../dashboard/index.ts';
import { remark } from './account-command.ts';
import { countArgument } from './arguments.ts';
import { audited } from './audited.ts';
import { command } from './command.ts';
import { out } from './standard-streams.ts';
import { whoRuns } from './who-runs.ts';

interface TellingFlags {
  readonly data: string;
  readonly config?: string;
}

/** Mail and webhooks, as `GET /api/telling` and `POST /api/telling/test` have them. */
export function addTelling(program: Command): void {
  const telling = command(program, 'telling', 'Mail and webhooks.');
  const one = (name: string, description: string): Command =>
    command(telling, name, description)
      .requiredOption('--data <dir>', 'data folder of the service')
      .option('--config <file>', 'operation of the service (YAML): whom it tells');

  one('list', 'Print what waits, what went out and what was given up and why, newest first, as CSV.')
    .option('--limit <n>', 'at most so many messages', countArgument, 50)
    .action(async ({ limit, ...flags }: TellingFlags & { limit: number }) => {
      const { messages } = withTelling(flags.data, await toldBy(flags), (source) => source.state(limit));
      const columns = ['createdAt', 'target', 'kind', 'state', 'attempts', 'nextAt', 'fault'] as const;
      await out.write(
        csvText(
          columns,
          messages.map((message) => columns.map((column) => message[column])),
        ),
      );
    });

  audited(one('test', 'Have a test message sent to every target; the running service takes it there.')).action(
    async (flags: TellingFlags) => {
      const targets = withTelling(flags.data, await toldBy(flags), (source) => source.test(whoRuns()));
      remark('in the outbox; the service sends it within 15 s, and "driftline telling list" says what became of it:');
      await out.write(targets.map((target) => `${target}\n`).join(''));
    },
  );
}

async function toldBy({ config }: TellingFlags) {
  const { telling } = await readConfig(config ?? null, { environment: process.env, flags: {} });
  return { config: telling, now: Date.now() };
}
