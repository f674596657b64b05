import process from 'node:process';
import type { Command } from 'commander';
import { exportFindings } from '../analyzer/index.ts';
import { AppError, parseTime } from '../collector/contract/index.ts';
import { exportReadings, readConfig } from '../collector/index.ts';
import { EXPORT_NAMES, EXPORTS, type ExportName, type ExportQuery, withExports } from '../dashboard/index.ts';
import { command } from './command.ts';
import { err, out } from './standard-streams.ts';
import { tellMissing } from './tell-missing.ts';
import { writeWhole } from './write-whole.ts';

interface ReadingsFlags {
  data: string;
  station?: string;
  from?: string;
  to?: string;
  config?: string;
  leaveOutDamaged?: true;
  parquet?: true;
  out?: string;
}

export function addExport(program: Command): void {
  const exports = command(program, 'export', 'Write out what the store holds.');
  command(exports, 'readings', 'Print readings as CSV, also while the service runs.')
    .requiredOption('--data <dir>', 'data folder of the service')
    .option('--station <id>', 'one gun or air point; default all')
    .option('--from <time>', 'from this time on, ISO 8601 with offset')
    .option('--to <time>', 'up to before this time, ISO 8601 with offset')
    .option('--config <file>', 'operation of the service (YAML): older readings are read back from its long-term store')
    .option(
      '--leave-out-damaged',
      'write the rest where readings are damaged, and say on standard error what is missing',
    )
    .option('--parquet', 'as Apache Parquet, of what is kept here')
    .option('--out <file>', 'with --parquet into this file, which is there only when it is whole')
    .action(async ({ data, config, parquet, out: file, ...asked }: ReadingsFlags) => {
      if (parquet === true) {
        if (config !== undefined)
          throw new AppError('USAGE', '--parquet: found --config beside it, expected one of both');
        return writeTable('readings', { data, parquet, ...(file === undefined ? {} : { out: file }), ...asked });
      }
      if (file !== undefined) throw new AppError('USAGE', '--out: found it without --parquet, expected both');
      const historian =
        config === undefined ? null : (await readConfig(config, { environment: process.env, flags: {} })).historian;
      await exportReadings({ dir: data, ...asked, historian, stdout: out, stderr: err });
    });
  tableOptions(command(exports, 'findings', 'Write findings as NDJSON, also while the service runs.'))
    .option('--csv', 'as CSV')
    .action(async ({ csv, ...flags }: TableFlags & { csv?: true }) => {
      if (
        csv !== true &&
        flags.parquet !== true &&
        flags.out === undefined &&
        flags.from === undefined &&
        flags.to === undefined
      )
        return exportFindings({ dir: flags.data, stdout: out });
      await writeTable('findings', flags);
    });
  for (const what of EXPORT_NAMES)
    if (what !== 'readings' && what !== 'findings') {
      const one = tableOptions(command(exports, what, `Write ${EXPORTS[what]}, as CSV; also while the service runs.`));
      if (what === 'runs') one.option('--station <id>', 'one gun; default all');
      if (what === 'thinned') one.option('--station <id>', 'one gun or air point; default all');
      one.action((flags: TableFlags) => writeTable(what, flags));
    }
}

/** Tables that are reckoned from spray runs; that of the runs themselves is refused where they are damaged. */
const RECKONED_FROM_RUNS: ReadonlySet<ExportName> = new Set(['parts', 'due', 'lives', 'jobs']);

interface TableFlags {
  data: string;
  parquet?: true;
  out?: string;
  from?: string;
  to?: string;
  station?: string;
}

function tableOptions(one: Command): Command {
  return one
    .requiredOption('--data <dir>', 'data folder of the service')
    .option('--from <time>', 'from this time on, ISO 8601 with offset')
    .option('--to <time>', 'up to before this time, ISO 8601 with offset')
    .option('--parquet', 'as Apache Parquet')
    .option('--out <file>', 'into this file, which is there only when it is whole; default: standard output');
}

async function writeTable(
  what: ExportName,
  { data, parquet, out: file, from, to, station }: TableFlags,
): Promise<void> {
  const query: ExportQuery = {
    ...{ what, station: station ?? null, format: parquet === true ? 'parquet' : 'csv' },
    ...{ from: timeOf('--from', from), to: timeOf('--to', to) },
  };
  await withExports(data, Date.now(), async (source, _plant, missing) => {
    const pieces = source.open(query);
    if (file === undefined) for (const piece of pieces) await out.writeBytes(piece);
    else writeWhole(file, pieces);
    if (RECKONED_FROM_RUNS.has(what)) tellMissing(missing());
  });
}

function timeOf(option: string, text: string | undefined): number | null {
  if (text === undefined) return null;
  const time = parseTime(text);
  if (!Number.isFinite(time)) throw new AppError('USAGE', `${option}: found "${text}", expected ISO 8601 with offset`);
  return time;
}
