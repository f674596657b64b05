#!/usr/bin/env node
import { fork } from 'node:child_process';
import { once } from 'node:events';
import { mkdtempSync, rmSync } from 'node:fs';
import { availableParallelism, tmpdir } from 'node:os';
import { join } from 'node:path';
import { Command, Option } from 'commander';
import { analyzeFiles, exportFindings } from './analyzer/index.ts';
import { Plant } from './collector/contract/index.ts';
import { compactStore, exportReadings, readConfig, readPlant, readSettings } from './collector/index.ts';
import {
  addToLog,
  another,
  failure,
  portArgument,
  positiveArgument,
  refuseOpenBind,
  runUntilStopped,
  type Service,
  wholeArgument,
} from './dashboard/index.ts';
import { evaluate } from './evaluation/evaluate.ts';
import { demoPlant, runDemoGuns, scenarioNames, simulateToFolder, simulateToMqtt } from './simulators/index.ts';

const EXIT_STATUS = `
Exit status: 0 done, 2 unusable input or arguments, 3 a bound that you stated is broken, 1 anything else.`;

/** Options of every command that runs the service. */
interface ServiceFlags {
  plant?: string;
  data?: string;
  settings?: string;
  config?: string;
  mqttPort?: number;
  httpPort?: number;
  bind?: string;
}

const out = { write: (text: string) => writeText(process.stdout, text) };
const err = { write: (text: string) => writeText(process.stderr, text) };

/** Waits while the reader is slower than we are. */
async function writeText(stream: NodeJS.WriteStream, text: string): Promise<void> {
  if (!stream.write(text)) await once(stream, 'drain');
}

/** Aborts on the signals that end a program. */
function untilSignal(): AbortSignal {
  const controller = new AbortController();
  for (const signal of ['SIGTERM', 'SIGINT'] as const) process.once(signal, () => controller.abort());
  return controller.signal;
}

const program = new Command('driftline')
  .description('Tells which worn part of which powder gun to change, and when, from its pressure and flow readings.')
  .version('0.1.0')
  .addHelpText('after', EXIT_STATUS)
  .showSuggestionAfterError(true)
  .exitOverride()
  .configureOutput({ writeErr: () => undefined });

/** A command with the program's way of failing. */
function command(parent: Command, name: string, description: string): Command {
  return parent
    .command(name)
    .description(description)
    .exitOverride()
    .configureOutput({ writeErr: () => undefined })
    .allowExcessArguments(false);
}

/** Adds the options of the service, all but the plant. */
function serviceOptions(one: Command): Command {
  return one
    .option(
      '--settings <file>',
      'settings file (YAML); one that differs from the current version becomes a new version',
    )
    .option('--config <file>', 'operation of the service (YAML): broker, limits, ports')
    .option('--mqtt-port <n>', 'MQTT port, default 1883; 0 takes any free one', portArgument)
    .option('--http-port <n>', 'HTTP port, default 8080; 0 takes any free one', portArgument)
    .option('--bind <address>', 'address to listen on, default 127.0.0.1; without accounts only loopback is taken');
}

async function serve(
  plant: Plant,
  dir: string,
  flags: ServiceFlags,
  beside?: (service: Service) => Promise<() => Promise<void>>,
): Promise<void> {
  const config = await readConfig(flags.config ?? null, {
    environment: process.env,
    flags: { bind: flags.bind, broker: { port: flags.mqttPort }, http: { port: flags.httpPort } },
  });
  refuseOpenBind(config.bind);
  const settings = flags.settings === undefined ? null : await readSettings(flags.settings);
  await runUntilStopped({ plant, dir, settings, config }, beside);
}

/** Starts the demo's guns as a program of their own: they know the service only by its addresses. */
async function startDemoGuns({ mqttUrl, httpUrl }: Service): Promise<() => Promise<void>> {
  process.stderr.write(`the wall is at ${httpUrl}/ - an invented hall, eight weeks of history on their way\n`);
  const guns = fork(process.argv[1]!, ['demo-guns', '--mqtt', mqttUrl, '--http', httpUrl], { stdio: 'inherit' });
  const ended = once(guns, 'exit');
  return async () => {
    guns.kill('SIGTERM');
    await ended;
  };
}

serviceOptions(
  command(program, 'serve', 'Run the whole service: broker, store, analysis and dashboard.')
    .requiredOption('--plant <file>', 'plant file (YAML): site, guns, air lines, powders')
    .requiredOption('--data <dir>', 'data folder; made where there is none'),
).action(async (flags: ServiceFlags) => serve(await readPlant(flags.plant!), flags.data!, flags));

serviceOptions(
  command(program, 'demo', 'Run the service with an invented hall of eight simulated guns.').option(
    '--data <dir>',
    'data folder; default: a fresh temporary one, removed at the end',
  ),
).action(async (flags: ServiceFlags) => {
  const plant = Plant.parse(demoPlant());
  if (flags.data !== undefined) return serve(plant, flags.data, flags, startDemoGuns);
  const dir = mkdtempSync(join(tmpdir(), 'driftline-demo-'));
  try {
    await serve(plant, dir, flags, startDemoGuns);
  } finally {
    rmSync(dir, { recursive: true, force: true });
  }
});

program
  .command('demo-guns', { hidden: true })
  .requiredOption('--mqtt <url>')
  .requiredOption('--http <url>')
  .action((flags: { mqtt: string; http: string }) =>
    runDemoGuns({
      mqttUrl: flags.mqtt,
      httpUrl: flags.http,
      now: () => Date.now(),
      signal: untilSignal(),
      onSay: (sentence) => process.stderr.write(`${sentence}\n`),
    }),
  );

command(program, 'analyze', 'Analyse exported readings: CSV in, findings as NDJSON on standard output.')
  .requiredOption('--plant <file>', 'plant file (YAML)')
  .requiredOption('--readings <file>', 'readings (CSV, may be gzip); may be given several times', another)
  .option('--log <file>', 'maintenance log (CSV)')
  .option('--settings <file>', 'settings file (YAML)')
  .option('--snapshots', 'print each finding as it was known over time, not only its last state', false)
  .action(async (flags: { plant: string; readings: string[]; log?: string; settings?: string; snapshots: boolean }) =>
    analyzeFiles({
      plantPath: flags.plant,
      readingsPaths: flags.readings,
      logPath: flags.log,
      settingsPath: flags.settings,
      snapshots: flags.snapshots,
      stdout: out,
      stderr: err,
    }),
  );

command(program, 'simulate', 'Simulate a scenario into a folder, or publish it over MQTT.')
  .addOption(
    new Option('--scenario <name>', 'what happens in the hall').choices([...scenarioNames]).makeOptionMandatory(),
  )
  .option('--seed <n>', 'the same seed gives the same hall', wholeArgument, 1)
  .option('--out <dir>', 'folder for plant.yaml, readings-*.csv.gz, log.csv and truth.json')
  .option('--mqtt <url>', 'publish to this broker instead, e.g. mqtt://127.0.0.1:1883')
  .option('--speed <x>', 'with --mqtt: times real time while in the past; 0 as fast as it goes', positiveArgument, 0)
  .action(
    async (flags: { scenario: string; seed: number; out?: string; mqtt?: string; speed: number }, one: Command) => {
      const { scenario, seed } = flags;
      if ((flags.out === undefined) === (flags.mqtt === undefined)) one.error('expected either --out or --mqtt');
      if (flags.out !== undefined) {
        const { rows } = await simulateToFolder({ scenario, seed, out: flags.out });
        process.stderr.write(`${flags.out}: ${rows} rows\n`);
        return;
      }
      await simulateToMqtt({
        scenario,
        seed,
        url: flags.mqtt!,
        speed: flags.speed,
        signal: untilSignal(),
        now: () => Date.now(),
      });
    },
  );

command(program, 'evaluate', 'Simulate halls and tell how well the findings match what really happened there.')
  .addOption(
    new Option('--scenario <name...>', 'only these scenarios; default all of them').choices([...scenarioNames]),
  )
  .option('--seeds <n>', 'how many halls of each scenario', wholeArgument, 4)
  .option('--first-seed <n>', 'seed of the first of them', wholeArgument, 1)
  .option('--threads <n>', 'halls at once; default: as many as there are processors', wholeArgument)
  .option('--html <file>', 'write the report as an HTML page too')
  .option('--list', 'also list what went wrong, hall by hall', false)
  .action(
    async (flags: {
      scenario?: string[];
      seeds: number;
      firstSeed: number;
      threads?: number;
      html?: string;
      list: boolean;
    }) => {
      await evaluate({
        scenarios: flags.scenario ?? scenarioNames,
        seeds: Array.from({ length: Math.max(1, flags.seeds) }, (_, index) => flags.firstSeed + index),
        threads: Math.max(1, flags.threads ?? availableParallelism()),
        html: flags.html,
        list: flags.list,
        stdout: process.stdout,
        stderr: process.stderr,
        now: () => performance.now(),
      });
    },
  );

const log = program.command('log').description('The maintenance log.').exitOverride();
command(log, 'add', 'Write down what was done to a gun; also while the service runs.')
  .requiredOption('--data <dir>', 'data folder of the service')
  .requiredOption('--gun <id>', 'gun')
  .requiredOption('--part <id>', 'part, or sensor:<channel> for a sensor that was exchanged')
  .requiredOption('--action <word>', 'replaced, inspected, cleaned, refitted or adjusted')
  .option('--found <word>', 'good, worn or failed')
  .option('--note <text>', 'anything else')
  .option('--time <time>', 'when, ISO 8601 with offset; default now')
  .action((flags: { data: string; gun: string; part: string; action: string }) => {
    const { data, ...fields } = flags;
    const { id, time } = addToLog({ dir: data, ...fields }, Date.now());
    process.stderr.write(
      `entry ${id}: ${fields.gun}, ${fields.part} ${fields.action} at ${new Date(time).toISOString()}\n`,
    );
  });

const exports_ = program.command('export').description('Write out what the store holds.').exitOverride();
command(exports_, 'readings', 'Print readings as CSV, also while the service runs.')
  .requiredOption('--data <dir>', 'data folder of the service')
  .option('--station <id>', 'one gun or air point; default all')
  .option('--from <time>', 'from this time on, ISO 8601 with offset')
  .option('--to <time>', 'up to before this time, ISO 8601 with offset')
  .action(async ({ data, station, from, to }: { data: string; station?: string; from?: string; to?: string }) =>
    exportReadings({ dir: data, station, from, to, stdout: out }),
  );
command(exports_, 'findings', 'Print findings as NDJSON, also while the service runs.')
  .requiredOption('--data <dir>', 'data folder of the service')
  .action(async ({ data }: { data: string }) => exportFindings({ dir: data, stdout: out }));

command(program, 'compact', 'Bring the store of a stopped service to its smallest form.')
  .requiredOption('--data <dir>', 'data folder')
  .action(({ data }: { data: string }) => {
    const { frames, bytesBefore, bytesAfter } = compactStore(data);
    process.stderr.write(`${data}: ${frames} frames, ${bytesBefore} bytes before, ${bytesAfter} bytes now\n`);
  });

// A reader that has seen enough, such as head, is no fault.
process.stdout.on('error', (error: NodeJS.ErrnoException) => {
  if (error.code === 'EPIPE') process.exit(0);
  throw error;
});

try {
  await program.parseAsync();
} catch (error) {
  const { status, line } = failure(error);
  if (line !== '') process.stderr.write(`${line}\n`);
  process.exitCode = status;
}
