import { availableParallelism } from 'node:os';
import { performance } from 'node:perf_hooks';
import process from 'node:process';
import { type Command, Option } from 'commander';
import { evaluate } from '../evaluation/index.ts';
import { scenarioNames } from '../simulators/index.ts';
import { countArgument, wholeArgument } from './arguments.ts';
import { command } from './command.ts';

interface EvaluateFlags {
  scenario?: string[];
  seeds: number;
  firstSeed: number;
  threads?: number;
  html?: string;
  list: boolean;
}

export function addEvaluate(program: Command): void {
  command(program, 'evaluate', 'Simulate halls and tell how well the findings match what really happened there.')
    .addOption(
      new Option('--scenario <name...>', 'only these scenarios; default all of them').choices([...scenarioNames]),
    )
    .option('--seeds <n>', 'how many halls of each scenario', countArgument, 4)
    .option('--first-seed <n>', 'seed of the first of them', wholeArgument, 1)
    .option('--threads <n>', 'halls at once; default: as many as there are processors', countArgument)
    .option('--html <file>', 'write the report as an HTML page too')
    .option('--list', 'also list what went wrong, hall by hall', false)
    .action(async ({ scenario, seeds, firstSeed, threads, html, list }: EvaluateFlags) => {
      await evaluate({
        scenarios: scenario ?? scenarioNames,
        seeds: Array.from({ length: seeds }, (_, index) => firstSeed + index),
        threads: threads ?? availableParallelism(),
        html,
        list,
        stdout: process.stdout,
        stderr: process.stderr,
        now: () => performance.now(),
      });
    });
}
