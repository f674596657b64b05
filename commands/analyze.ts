import type { Command } from 'commander';
import { analyzeFiles } from '../analyzer/batch/index.ts';
import { another } from './arguments.ts';
import { collectRarely } from './collect-rarely.ts';
import { command } from './command.ts';
import { err, out } from './standard-streams.ts';

export function addAnalyze(program: Command): void {
  command(program, 'analyze', 'Analyse exported readings: CSV in, findings as NDJSON on standard output.')
    .requiredOption('--plant <file>', 'plant file (YAML)')
    .requiredOption('--readings <file>', 'readings (CSV, may be gzip); may be given several times', another)
    .option('--log <file>', 'maintenance log (CSV)')
    .option('--settings <file>', 'settings file (YAML)')
    .option('--snapshots', 'print each finding as it was known over time, not only its last state', false)
    .action(
      async (flags: { plant: string; readings: string[]; log?: string; settings?: string; snapshots: boolean }) => {
        collectRarely();
        await analyzeFiles({
          plantPath: flags.plant,
          readingsPaths: flags.readings,
          logPath: flags.log,
          settingsPath: flags.settings,
          snapshots: flags.snapshots,
          stdout: out,
          stderr: err,
        });
      },
    );
}
