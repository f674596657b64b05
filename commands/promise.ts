import { availableParallelism } from 'node:os';
import { performance } from 'node:perf_hooks';
import process from 'node:process';
import type { Command } from 'commander';
import { designedPromise, promiseText } from '../analyzer/index.ts';
import { Settings, settingsFor } from '../collector/contract/index.ts';
import { readSettings } from '../collector/index.ts';
import { type PromiseInFolder, promiseInFolder } from '../dashboard/index.ts';
import { progressBar, simulatePromise } from '../evaluation/index.ts';
import { nonNegativeArgument, wholeArgument } from './arguments.ts';
import { command } from './command.ts';
import { out } from './standard-streams.ts';
import { tellMissing } from './tell-missing.ts';

interface PromiseFlags {
  data?: string;
  settings?: string;
  gunYears: number;
  seed: number;
  threads?: number;
  json: boolean;
}

export function addPromise(program: Command): void {
  command(
    program,
    'promise',
    'Tell the rate of false findings three ways: designed by theory, simulated on healthy guns, observed here.',
  )
    .option('--data <dir>', 'data folder of the service, for what was observed and the settings that hold there')
    .option('--settings <file>', 'other settings (YAML); default: those of the data folder, else the usual ones')
    .option('--gun-years <n>', 'gun-years to simulate; 0 simulates none', nonNegativeArgument, 40)
    .option('--seed <n>', 'seed of the first simulated hall; the same gives the same', wholeArgument, 1)
    .option('--threads <n>', 'halls at once; default: as many as there are processors', wholeArgument)
    .option('--json', 'print JSON', false)
    .action(tellPromise);
}

async function tellPromise(flags: PromiseFlags): Promise<void> {
  const here: PromiseInFolder | null = flags.data === undefined ? null : promiseInFolder(flags.data);
  const settings =
    flags.settings === undefined ? (here?.settings ?? Settings.parse({})) : await readSettings(flags.settings);
  const site = settingsFor(settings, {});
  const simulated = flags.gunYears === 0 ? null : await simulate(settings, flags);
  const figures = {
    accepted: site.falseAlarmsPerGunYear,
    designed: designedPromise(site),
    simulated,
    observed: here?.observed ?? null,
  };
  tellMissing(here?.missing ?? []);
  await out.write(flags.json ? `${JSON.stringify(figures, null, 2)}\n` : promiseText(figures));
}

function simulate(settings: Settings, { gunYears, seed, threads }: PromiseFlags): ReturnType<typeof simulatePromise> {
  const started = performance.now();
  const { stderr } = process;
  let told = 0;
  const progress = (share: number): void => {
    const percent = Math.round(100 * share);
    const bar = progressBar(percent, 100, performance.now() - started);
    // A terminal keeps one line; a file gets one line in ten.
    if (stderr.isTTY) stderr.write(`\r${bar}\u001b[K${percent === 100 ? '\n' : ''}`);
    else if (percent === 100 || percent >= told + 10) {
      told = percent;
      stderr.write(`${bar}\n`);
    }
  };
  progress(0);
  return simulatePromise({ settings, gunYears, firstSeed: seed, threads: threads ?? availableParallelism(), progress });
}
