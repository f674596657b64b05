import process from 'node:process';
import { type Command, Option } from 'commander';
import { knownPowders } from '../analyzer/index.ts';
import { AppError, idleOverrides, type Plant } from '../collector/contract/index.ts';
import {
  checkFiles,
  DESCRIBED,
  jsonSchema,
  mappingsOfOwnTopics,
  type OperationConfig,
  openStore,
  readConfig,
  readPlant,
  readSettings,
  readTls,
  shownConfig,
  troubleOf,
  unknownStations,
} from '../collector/index.ts';
import { command } from './command.ts';
import { out } from './standard-streams.ts';

interface CheckFlags {
  config?: string;
  plant?: string;
  settings?: string;
  data?: string;
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
    .option('--data <dir>', 'data folder of the service, which knows the powders that were sprayed')
    .option('--print', 'print the configuration as it holds, defaults and environment included, secrets hidden', false)
    .addOption(
      new Option('--schema <what>', 'print the JSON Schema of a file and do nothing else').choices(
        Object.keys(DESCRIBED),
      ),
    )
    .action(async ({ schema, print, data, ...files }: CheckFlags) => {
      if (schema !== undefined) return out.write(`${JSON.stringify(jsonSchema(schema), null, 2)}\n`);
      if (!print && (files.config ?? files.plant ?? files.settings) === undefined)
        throw new AppError('USAGE', 'found no file to check, expected --config, --plant or --settings (or --print)');
      const sources = { environment: process.env, flags: {} };
      const faults = await checkFiles(files, sources);
      for (const fault of faults.slice(0, -1)) process.stderr.write(`${fault}\n`);
      const last = faults.at(-1);
      if (last !== undefined) throw new AppError('CONFIG_INVALID', last);
      const config = await readConfig(files.config ?? null, sources);
      await tellOfCertificate(config);
      for (const line of mappingsOfOwnTopics(config)) process.stderr.write(`${line}\n`);
      if (files.plant !== undefined) {
        const plant = await readPlant(files.plant);
        const unknown = unknownStations(config, plant);
        for (const line of unknown) process.stderr.write(`${line}\n`);
        if (files.settings !== undefined) await tellIdle(files.settings, plant, data);
      }
      if (print) return out.write(shownConfig(config));
      process.stderr.write('no fault found\n');
    });
}

async function tellOfCertificate({ tls }: OperationConfig): Promise<void> {
  const read = await readTls(tls);
  const sentence = read === null ? null : troubleOf(read, Date.now());
  if (sentence !== null) process.stderr.write(`tls.certificate: ${tls.certificate}: ${sentence}\n`);
}

/** Says which overrides change nothing; of powders only where a data folder tells which were sprayed, and else that it was not looked at. */
async function tellIdle(file: string, plant: Plant, data: string | undefined): Promise<void> {
  const settings = await readSettings(file);
  for (const { sentence } of idleOverrides(settings, plant, data === undefined ? null : powdersOf(data, plant)))
    process.stderr.write(`${file}: ${sentence}\n`);
  if (data !== undefined) return;
  const named = new Set(plant.powders.map(({ id }) => id));
  const unnamed = settings.overrides.flatMap(({ powder }) =>
    powder === undefined || named.has(powder) ? [] : [powder],
  );
  if (unnamed.length > 0)
    process.stderr.write(
      `${file}: overrides of ${[...new Set(unnamed)].join(', ')}: not named in the plant file; --data tells whether anybody sprayed it\n`,
    );
}

function powdersOf(dir: string, plant: Plant): string[] {
  const store = openStore(dir);
  try {
    return knownPowders(plant, store.states);
  } finally {
    store.close();
  }
}
