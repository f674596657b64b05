import process from 'node:process';
import { type Command, Option } from 'commander';
import { AppError, idleOverrides } from '../collector/contract/index.ts';
import {
  checkFiles,
  DESCRIBED,
  jsonSchema,
  readConfig,
  readPlant,
  readSettings,
  shownConfig,
  unknownStations,
} from '../collector/index.ts';
import { command } from './command.ts';
import { out } from './standard-streams.ts';

interface CheckFlags {
  config?: string;
  plant?: string;
  settings?: string;
  print: boolean;
  schema?: keyof typeof DESCRIBED;
}

export function addCheckConfig(program: Command): void {
  command(
    program,
    'check-config',
    'Check configuration, plant and settings, and the certificates that they name, as the service would take them.',
  )
    .option('--config <file>', 'operation of the service (YAML)')
    .option('--plant <file>', 'plant file (YAML)')
    .option('--settings <file>', 'settings file (YAML)')
    .option('--print', 'print the configuration as it holds, defaults and environment included, secrets hidden', false)
    .addOption(
      new Option('--schema <what>', 'print the JSON Schema of a file and do nothing else').choices(
        Object.keys(DESCRIBED),
      ),
    )
    .action(async ({ schema, print, ...files }: CheckFlags) => {
      if (schema !== undefined) return out.write(`${JSON.stringify(jsonSchema(schema), null, 2)}\n`);
      if (!print && (files.config ?? files.plant ?? files.settings) === undefined)
        throw new AppError('USAGE', 'found no file to check, expected --config, --plant or --settings (or --print)');
      const sources = { environment: process.env, flags: {} };
      const faults = await checkFiles(files, sources, Date.now());
      for (const fault of faults.slice(0, -1)) process.stderr.write(`${fault}\n`);
      const last = faults.at(-1);
      if (last !== undefined) throw new AppError('CONFIG_INVALID', last);
      if (files.plant !== undefined) {
        const plant = await readPlant(files.plant);
        const unknown = unknownStations(await readConfig(files.config ?? null, sources), plant);
        for (const line of unknown) process.stderr.write(`${line}\n`);
        const idle = files.settings === undefined ? [] : idleOverrides(await readSettings(files.settings), plant);
        for (const { sentence } of idle) process.stderr.write(`${files.settings}: ${sentence}\n`);
      }
      if (print) return out.write(shownConfig(await readConfig(files.config ?? null, sources)));
      process.stderr.write('no fault found\n');
    });
}
