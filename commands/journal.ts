import { type Command, Option } from 'commander';
import { AppError, parseTime } from '../collector/contract/index.ts';
import { journalCsv, reportCsv, withShop } from '../dashboard/index.ts';
import { command } from './command.ts';
import { out } from './standard-streams.ts';

/** A time given on the command line, epoch ms. @throws {AppError} USAGE */
function timeOption(name: string, text: string | undefined, otherwise: number): number {
  if (text === undefined) return otherwise;
  const time = parseTime(text);
  if (Number.isFinite(time)) return time;
  throw new AppError('USAGE', `--${name}: found "${text}"; expected ISO 8601 with offset or Unix seconds`);
}

export function addJournal(program: Command): void {
  command(program, 'journal', 'Print all that was done and shown, with who and when, as CSV.')
    .requiredOption('--data <dir>', 'data folder of the service')
    .option('--from <time>', 'from this time on, ISO 8601 with offset')
    .option('--to <time>', 'up to before this time, ISO 8601 with offset')
    .action(async ({ data, from, to }: { data: string; from?: string; to?: string }) =>
      withShop(data, Date.now(), async (shop) => {
        const span = {
          from: timeOption('from', from, Number.NEGATIVE_INFINITY),
          to: timeOption('to', to, Number.POSITIVE_INFINITY),
        };
        await out.write(journalCsv(shop.journal({ ...span, limit: Number.MAX_SAFE_INTEGER })));
      }),
    );
  command(program, 'report', 'Print the shift hand-over or the week as CSV.')
    .requiredOption('--data <dir>', 'data folder of the service')
    .addOption(new Option('--kind <what>', 'shift or week').choices(['shift', 'week']).default('shift'))
    .option('--at <time>', 'a time within it, ISO 8601 with offset; default now')
    .action(async ({ data, kind, at }: { data: string; kind: 'shift' | 'week'; at?: string }) =>
      withShop(data, Date.now(), async (shop) =>
        out.write(reportCsv(shop.report(kind, timeOption('at', at, Date.now())))),
      ),
    );
}
