import process from 'node:process';
import type { Command } from 'commander';
import { exportFindings } from '../analyzer/index.ts';
import { exportReadings, readConfig } from '../collector/index.ts';
import { command } from './command.ts';
import { err, out } from './standard-streams.ts';

interface ReadingsFlags {
  data: string;
  station?: string;
  from?: string;
  to?: string;
  config?: string;
}

export function addExport(program: Command): void {
  const exports = command(program, 'export', 'Write out what the store holds.');
  command(exports, 'readings', 'Print readings as CSV, also while the service runs.')
    .requiredOption('--data <dir>', 'data folder of the service')
    .option('--station <id>', 'one gun or air point; default all')
    .option('--from <time>', 'from this time on, ISO 8601 with offset')
    .option('--to <time>', 'up to before this time, ISO 8601 with offset')
    .option('--config <file>', 'operation of the service (YAML): older readings are read back from its long-term store')
    .action(async ({ data, config, ...asked }: ReadingsFlags) => {
      const historian =
        config === undefined ? null : (await readConfig(config, { environment: process.env, flags: {} })).historian;
      await exportReadings({ dir: data, ...asked, historian, stdout: out, stderr: err });
    });
  command(exports, 'findings', 'Print findings as NDJSON, also while the service runs.')
    .requiredOption('--data <dir>', 'data folder of the service')
    .action(async ({ data }: { data: string }) => exportFindings({ dir: data, stdout: out }));
}
