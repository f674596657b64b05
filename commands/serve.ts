import type { Command } from 'commander';
import { readPlant } from '../collector/index.ts';
import { command } from './command.ts';
import { type ServiceFlags, serve, serviceOptions } from './service-options.ts';

export function addServe(program: Command): void {
  serviceOptions(
    command(program, 'serve', 'Run the whole service: broker, store, analysis and dashboard.')
      .requiredOption('--plant <file>', 'plant file (YAML): site, guns, air lines, powders')
      .requiredOption('--data <dir>', 'data folder; made where there is none'),
  ).action(async (flags: ServiceFlags & { plant: string; data: string }) =>
    serve(await readPlant(flags.plant), flags.data, flags),
  );
}
