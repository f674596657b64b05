import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { Worker } from 'node:worker_threads';
import { expect, test } from 'vitest';

const MODULE = fileURLToPath(new URL('../../collector/background.ts', import.meta.url));

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
  const code = readFileSync(MODULE, 'utf8').replace('export function', 'globalThis.runBehind = function');
  // The module's text without types, so that the thread needs no loader.
  const plain = code.replace(/\(niceness: number\): boolean/, '(niceness)');
  const worker = new Worker(
    new URL(
      `data:text/javascript,${encodeURIComponent(`${plain}
    const { parentPort } = await import('node:worker_threads');
    parentPort.postMessage(globalThis.runBehind(${base + 7}));
    parentPort.once('message', () => process.exit());`)}`,
    ),
  );
  expect(await new Promise((resolve) => worker.once('message', resolve))).toBe(true);
  expect(niceness()).toContain(base + 7);
  expect(niceness().filter((one) => one === base).length).toBeGreaterThanOrEqual(1);
  worker.postMessage('end');
  await new Promise((resolve) => worker.once('exit', resolve));
});
