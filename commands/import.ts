import type { Command } from 'commander';
import { importReadings, readImportMapping, readPlant } from '../collector/index.ts';
import { recordPlant } from '../dashboard/index.ts';
import { countArgument } from './arguments.ts';
import { auditDetail, audited } from './audited.ts';
import { command } from './command.ts';
import { err, out } from './standard-streams.ts';
import { untilSignal } from './until-signal.ts';
import { whoRuns } from './who-runs.ts';

interface ImportFlags {
  data: string;
  plant: string;
  map?: string;
  preview?: number;
  dryRun: boolean;
}

export function addImport(program: Command): void {
  const taking = command(
    program,
    'import',
    'Take readings from CSV files into the store, also while the service runs.',
  );
  audited(taking, ({ dryRun, preview }) => dryRun !== true && preview === undefined)
    .argument('<files...>', 'CSV, may be gzip; a file that was imported before is passed over')
    .requiredOption('--data <dir>', 'data folder; made where there is none')
    .requiredOption('--plant <file>', 'plant file (YAML)')
    .option('--map <file>', 'column mapping (YAML) of a logger’s own CSV')
    .option(
      '--preview <rows>',
      'print so many rows of each station as they would be stored, and store nothing',
      countArgument,
    )
    .option('--dry-run', 'read and report everything, and store nothing', false)
    .action(async (files: string[], { data, plant, map, preview, dryRun }: ImportFlags) => {
      const known = await readPlant(plant);
      await importReadings({
        dir: data,
        plant: known,
        files,
        mapping: map === undefined ? null : await readImportMapping(map),
        preview: preview ?? null,
        dryRun,
        stdout: out,
        stderr: err,
        now: () => Date.now(),
        signal: untilSignal(),
        onOwn: (store) => recordPlant(store, known),
        // An import that is killed leaves readings as well; that it has ended is written down when it has.
        onBegun: ({ audit }) =>
          audit.add({
            ...{ at: Date.now(), who: whoRuns(), what: 'driftline import begun', origin: 'command line' },
            detail: auditDetail({ plant, ...(map === undefined ? {} : { map }) }, files),
          }),
      });
    });
}
