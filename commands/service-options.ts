import process from 'node:process';
import type { Command } from 'commander';
import type { Plant } from '../collector/contract/index.ts';
import { readConfig, readSettings } from '../collector/index.ts';
import {
  clearTextWarning,
  refuseOpenBind,
  runUntilStopped,
  type Service,
  type ServiceOptions,
} from '../dashboard/index.ts';
import { simulatePromise } from '../evaluation/index.ts';
import { portArgument } from './arguments.ts';

/** Options of every command that runs the service. */
export interface ServiceFlags {
  settings?: string;
  config?: string;
  mqttPort?: number;
  httpPort?: number;
  bind?: string;
}

/** Adds the options of the service, all but the plant and the data folder. */
export function serviceOptions(one: Command): Command {
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

/** Runs the service as the flags say until it is told to stop. */
export async function serve(
  plant: Plant,
  dir: string,
  flags: ServiceFlags,
  beside?: (service: Service) => Promise<() => Promise<void>>,
): Promise<void> {
  const config = await readConfig(flags.config ?? null, {
    environment: process.env,
    flags: { bind: flags.bind, broker: { port: flags.mqttPort }, http: { port: flags.httpPort } },
  });
  refuseOpenBind(config, dir);
  const warning = clearTextWarning(config);
  if (warning !== null) process.stderr.write(`${warning}\n`);
  const settings = flags.settings === undefined ? null : await readSettings(flags.settings);
  // One thread: readings, findings and screens need the rest of a small machine.
  const simulateHealthy: ServiceOptions['simulateHealthy'] = (asked) =>
    simulatePromise({ ...asked, firstSeed: 1, threads: 1 });
  await runUntilStopped({ plant, dir, settings, config, simulateHealthy }, beside);
}
