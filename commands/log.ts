import process from 'node:process';
import type { Command } from 'commander';
import { ACTIONS, counted, FOUND, formatTime, quoted } from '../collector/contract/index.ts';
import { addToLog, type ImportedLog, importLog, withShop } from '../dashboard/index.ts';
import { countArgument } from './arguments.ts';
import { audited } from './audited.ts';
import { command } from './command.ts';
import { whoRuns } from './who-runs.ts';

interface LogAddFlags {
  data: string;
  gun: string;
  part: string;
  action: string;
  found?: string;
  measured?: string;
  note?: string;
  again?: boolean;
  time?: string;
}

export function addLog(program: Command): void {
  const log = command(program, 'log', 'The maintenance log.');
  audited(command(log, 'add', 'Write down what was done to a gun; also while the service runs.'))
    .requiredOption('--data <dir>', 'data folder of the service')
    .requiredOption('--gun <id>', 'gun')
    .requiredOption('--part <id>', 'part, or sensor:<channel> for a sensor that was exchanged')
    .requiredOption('--action <word>', `one of ${ACTIONS.join(', ')}`)
    .option('--found <word>', `one of ${FOUND.join(', ')}`)
    .option('--measured <text>', 'what was measured, e.g. "12 mm" for the stand-off of the wear gauge')
    .option('--note <text>', 'anything else')
    .option('--again', 'it was really done a second time within a quarter of an hour')
    .option('--time <time>', 'when, ISO 8601 with offset; default now')
    .action(({ data, ...fields }: LogAddFlags) => {
      const { id, gun, part, action, time } = addToLog({ dir: data, ...fields }, Date.now());
      process.stderr.write(`entry ${id}: ${gun}, ${part} ${action} at ${formatTime(time)}\n`);
    });
  audited(
    command(log, 'import', 'Take a maintenance log from CSV files into the log; also while the service runs.'),
    ({ dryRun }) => dryRun !== true,
  )
    .argument(
      '<files...>',
      'CSV with the header time,gun,part,action,found,note, may be gzip; where one row does not fit nothing is written',
    )
    .requiredOption('--data <dir>', 'data folder of the service')
    .option('--dry-run', 'read and check everything, and write nothing', false)
    .action(async (files: string[], { data, dryRun }: { data: string; dryRun: boolean }) => {
      for (const one of await importLog({ dir: data, files, dryRun }, Date.now()))
        process.stderr.write(`${inWords(one, dryRun)}\n`);
    });
  audited(command(log, 'undo', 'Take an entry back: it counts no more, and stays on record.'))
    .requiredOption('--data <dir>', 'data folder of the service')
    .requiredOption('--entry <n>', 'number of the entry', countArgument)
    .option('--why <text>', 'why')
    .action(async ({ data, entry, why }: { data: string; entry: number; why?: string }) =>
      withShop(data, Date.now(), (shop) => {
        shop.correct(entry, { who: whoRuns(), why: why ?? '', replacement: null });
        process.stderr.write(`entry ${entry}: taken back\n`);
      }),
    );
}

function inWords({ file, entries, added, takenBack, ignoredColumns }: ImportedLog, dryRun: boolean): string {
  const parts = [
    `${counted(added, 'entry', 'entries')} ${dryRun ? 'would be ' : ''}written down`,
    ...(entries > added ? [`${entries - added} there already`] : []),
    ...(takenBack > 0 ? [`${takenBack} taken back before, passed over`] : []),
    ...(ignoredColumns.length > 0 ? [`passed over the columns ${ignoredColumns.map(quoted).join(', ')}`] : []),
  ];
  return `${file}: ${parts.join('; ')}`;
}
