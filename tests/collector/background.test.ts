import { execFileSync } from 'node:child_process';
import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { Worker } from 'node:worker_threads';
import { expect, test } from 'vitest';

const MODULE = fileURLToPath(new URL('../../collector/background.ts', import.meta.url));

/** The module's text without types, so that neither thread nor process needs a loader. */
const PLAIN = readFileSync(MODULE, 'utf8').replaceAll('(niceness: number): boolean', '(niceness)');

/** Niceness of each thread of this process: field 19 of proc(5) `stat`, counted behind the name in brackets. */
const niceness = (): number[] =>
  readdirSync('/proc/self/task').map((task) =>
    Number(
      readFileSync(join('/proc/self/task', task, 'stat'), 'utf8')
        .split(') ')[1]!
        .split(' ')[16],
    ),
  );

test.skipIf(process.platform !== 'linux')('a thread runs behind the others, which stay as they are', async () => {
  const before = niceness();
  const base = Math.min(...before);
  const worker = new Worker(
    new URL(
      `data:text/javascript,${encodeURIComponent(`${PLAIN}
    const { parentPort } = await import('node:worker_threads');
    parentPort.postMessage(runBehind(${base + 7}));
    parentPort.once('message', () => process.exit());`)}`,
    ),
  );
  expect(await new Promise((resolve) => worker.once('message', resolve))).toBe(true);
  expect(niceness()).toContain(base + 7);
  expect(niceness().filter((one) => one === base).length).toBeGreaterThanOrEqual(1);
  worker.postMessage('end');
  await new Promise((resolve) => worker.once('exit', resolve));
});

test.skipIf(process.platform !== 'linux')('the threads of Node run behind ours, the first and those to come', () => {
  const script = `${PLAIN}
    const { Worker } = await import('node:worker_threads');
    const done = runHelpersBehind(3);
    const ofThreads = () => readdirSync('/proc/self/task').map((thread) => [Number(thread), getPriority(Number(thread))]);
    const before = ofThreads();
    const worker = new Worker('setInterval(() => {}, 1000)', { eval: true });
    await new Promise((resolve) => worker.once('online', resolve));
    const ours = ofThreads().filter(([thread]) => !before.some(([known]) => known === thread)).map(([, nice]) => nice);
    console.log(JSON.stringify({ done, base: getPriority(), behind: before.filter(([thread]) => thread !== process.pid).map(([, nice]) => nice), ours }));
    await worker.terminate();`;
  const out = execFileSync(process.execPath, ['--input-type=module', '--eval', script], { encoding: 'utf8' });
  const { done, base, behind, ours } = JSON.parse(out) as {
    done: boolean;
    base: number;
    behind: number[];
    ours: number[];
  };
  expect(done).toBe(true);
  expect(behind.length).toBeGreaterThan(0);
  expect(new Set(behind)).toEqual(new Set([Math.min(19, base + 3)]));
  expect(ours).toContain(base);
});
