import { fork } from 'node:child_process';
import { once } from 'node:events';
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import process from 'node:process';
import type { Command } from 'commander';
import { Plant } from '../collector/contract/index.ts';
import type { Service } from '../dashboard/index.ts';
import { demoPlant, runDemoGuns } from '../simulators/index.ts';
import { command } from './command.ts';
import { type ServiceFlags, serve, serviceOptions } from './service-options.ts';
import { untilSignal } from './until-signal.ts';

/** The service with an invented hall, and the hidden command that the hall's guns run as. */
export function addDemo(program: Command): void {
  serviceOptions(
    command(program, 'demo', 'Run the service with an invented hall of eight simulated guns.').option(
      '--data <dir>',
      'data folder; default: a fresh temporary one, removed at the end',
    ),
  ).action(async (flags: ServiceFlags & { data?: string }) => {
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
