import process from 'node:process';
import { type Command, Option } from 'commander';
import { scenarioNames, simulateToFolder, simulateToMqtt } from '../simulators/index.ts';
import { nonNegativeArgument, wholeArgument } from './arguments.ts';
import { command } from './command.ts';
import { untilSignal } from './until-signal.ts';

interface SimulateFlags {
  scenario: string;
  seed: number;
  out?: string;
  mqtt?: string;
  speed: number;
}

export function addSimulate(program: Command): void {
  command(program, 'simulate', 'Simulate a scenario into a folder, or publish it over MQTT.')
    .addOption(
      new Option('--scenario <name>', 'what happens in the hall').choices([...scenarioNames]).makeOptionMandatory(),
    )
    .option('--seed <n>', 'the same seed gives the same hall', wholeArgument, 1)
    .option('--out <dir>', 'folder for plant.yaml, readings-*.csv.gz, log.csv and truth.json')
    .option('--mqtt <url>', 'publish to this broker instead, e.g. mqtt://127.0.0.1:1883')
    .option(
      '--speed <x>',
      'with --mqtt: times real time while in the past; 0 as fast as it goes',
      nonNegativeArgument,
      0,
    )
    .action(async ({ scenario, seed, out, mqtt, speed }: SimulateFlags, one: Command) => {
      if (out !== undefined && mqtt === undefined) {
        const { rows } = await simulateToFolder({ scenario, seed, out });
        process.stderr.write(`${out}: ${rows} rows\n`);
      } else if (mqtt !== undefined && out === undefined) {
        await simulateToMqtt({ scenario, seed, url: mqtt, speed, signal: untilSignal(), now: () => Date.now() });
      } else one.error('expected either --out or --mqtt');
    });
}
