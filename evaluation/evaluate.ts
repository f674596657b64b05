import { writeFile } from 'node:fs/promises';
import type { CaseScore } from '../analyzer/index.ts';
import { AppError } from '../collector/contract/index.ts';
import { scenarioNames, scenarioOf } from '../simulators/index.ts';
import { htmlReport } from './html-report.ts';
import { progressBar } from './progress-bar.ts';
import { runAll } from './run-all.ts';
import type { CaseTask } from './run-case.ts';
import { textReport } from './text-report.ts';

/** What `driftline evaluate` is asked for. */
export interface EvaluateOptions {
  /** Default: all of them. */
  readonly scenarios?: readonly string[];
  /** Whole numbers; default 1 to 4. */
  readonly seeds?: readonly number[];
  readonly threads: number;
  /** Where the HTML report goes; none when not given. */
  readonly html?: string | undefined;
  /** Also list what went wrong, hall by hall. */
  readonly list?: boolean | undefined;
  readonly stdout: { write(text: string): unknown };
  readonly stderr: { write(text: string): unknown; readonly isTTY?: boolean };
  /** Milliseconds of any clock, for the progress bar. */
  readonly now: () => number;
}

/** Seeds of the full set. Source: own choice, because fewer than four halls leave the rates without an interval worth telling. */
const SEEDS = [1, 2, 3, 4];

/**
 * The command `driftline evaluate`: simulates halls, analyses what their sensors sent and tells how well the findings match the truth.
 *
 * @returns the scores that the report tells, in the order of seeds, then scenarios
 * @throws {AppError} USAGE: an unknown scenario, a seed that is no whole number, or a report that cannot be written
 */
export async function evaluate(options: EvaluateOptions): Promise<CaseScore[]> {
  const { scenarios = scenarioNames, seeds = SEEDS, stderr } = options;
  for (const name of scenarios) scenarioOf(name);
  for (const seed of seeds)
    if (!Number.isSafeInteger(seed)) throw new AppError('USAGE', `seed ${seed}, expected a whole number`);
  if (options.html !== undefined) await writeReport(options.html, '');
  const tasks = seeds.flatMap((seed) => scenarios.map((scenario) => ({ scenario, seed })));
  const started = options.now();
  const show = (done: number): void => {
    const bar = progressBar(done, tasks.length, options.now() - started);
    // A terminal keeps one line; a file gets one line in ten.
    if (stderr.isTTY) stderr.write(`\r${bar}\u001b[K${done === tasks.length ? '\n' : ''}`);
    else if (done % Math.ceil(tasks.length / 10) === 0 || done === tasks.length) stderr.write(`${bar}\n`);
  };
  show(0);
  const scores = await runAll<CaseTask, CaseScore>(new URL('./worker', import.meta.url), tasks, options.threads, show);
  options.stdout.write(textReport(scores));
  if (options.list) options.stdout.write(scores.flatMap(({ misses }) => misses.map((miss) => `${miss}\n`)).join(''));
  if (options.html !== undefined) {
    await writeReport(options.html, htmlReport(scores, { scenarios, seeds }));
    stderr.write(`report: ${options.html}\n`);
  }
  return scores;
}

async function writeReport(path: string, text: string): Promise<void> {
  try {
    await writeFile(path, text);
  } catch (cause) {
    throw new AppError('USAGE', `report ${path} cannot be written: ${(cause as Error).message}`, { cause });
  }
}
