import type { Worker } from 'node:worker_threads';
import type { CaseScore } from '../analyzer/index.ts';
import { startThread } from '../collector/index.ts';
import type { CaseTask } from './run-case.ts';

/**
 * Runs halls side by side in worker threads.
 *
 * @param tasks what to run; the longest are best first
 * @param threads how many at once, >= 1
 * @param done told after each hall: how many of them are done
 * @returns scores in the order of the tasks
 * @throws what a hall's run throws; the other threads are stopped
 */
export async function runAll(
  tasks: readonly CaseTask[],
  threads: number,
  done: (count: number) => void,
): Promise<CaseScore[]> {
  const scores = new Array<CaseScore>(tasks.length);
  const workers: Worker[] = [];
  let next = 0;
  let finished = 0;
  const runThread = async (): Promise<void> => {
    if (next >= tasks.length) return;
    const worker = startThread(new URL('./worker', import.meta.url));
    workers.push(worker);
    while (next < tasks.length) {
      const index = next++;
      scores[index] = await answerOf(worker, tasks[index]!);
      done(++finished);
    }
  };
  try {
    await Promise.all(Array.from({ length: Math.min(threads, tasks.length) }, runThread));
  } finally {
    await Promise.all(workers.map((worker) => worker.terminate()));
  }
  return scores;
}

function answerOf(worker: Worker, task: CaseTask): Promise<CaseScore> {
  return new Promise((resolve, reject) => {
    const settle = (): void => {
      worker.off('message', answered);
      worker.off('error', failed);
      worker.off('exit', ended);
    };
    const answered = (score: CaseScore): void => {
      settle();
      resolve(score);
    };
    const failed = (error: unknown): void => {
      settle();
      reject(error);
    };
    const ended = (): void => failed(new Error(`the thread ended while running ${task.scenario}, seed ${task.seed}`));
    worker.on('message', answered);
    worker.on('error', failed);
    worker.on('exit', ended);
    worker.postMessage(task);
  });
}
