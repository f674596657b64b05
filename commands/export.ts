import type { Command } from 'commander';
import { exportFindings } from '../analyzer/index.ts';
import { exportReadings } from '../collector/index.ts';
import { command } from './command.ts';
import { out } from './standard-streams.ts';

export function addExport(program: Command): void {
  const exports = command(program, 'export', 'Write out what the store holds.');
  command(exports, 'readings', 'Print readings as CSV, also while the service runs.')
    .requiredOption('--data <dir>', 'data folder of the service')
    .option('--station <id>', 'one gun or air point; default all')
    .option('--from <time>', 'from this time on, ISO 8601 with offset')
    .option('--to <time>', 'up to before this time, ISO 8601 with offset')
    .action(async ({ data, station, from, to }: { data: string; station?: string; from?: string; to?: string }) =>
      exportReadings({ dir: data, station, from, to, stdout: out }),
    );
  command(exports, 'findings', 'Print findings as NDJSON, also while the service runs.')
    .requiredOption('--data <dir>', 'data folder of the service')
    .action(async ({ data }: { data: string }) => exportFindings({ dir: data, stdout: out }));
}
