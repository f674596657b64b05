import type { Worker } from 'node:worker_threads';
import { startThread } from '../collector/index.ts';

/**
 * Runs halls side by side in worker threads that take one task after the other and answer each.
 *
 * @param entry the threads' entry, without its ending
 * @param tasks what to run; the longest are best first
 * @param threads how many at once, >= 1
 * @param done told after each hall: how many of them are done
 * @param signal ends the threads at once
 * @returns answers in the order of the tasks
 * @throws what a task throws, or the signal's reason; the other threads are stopped
 */
export async function runAll<Task, Answer>(
  entry: URL,
  tasks: readonly Task[],
  threads: number,
  done: (count: number, answer: Answer) => void,
  signal?: AbortSignal,
): Promise<Answer[]> {
  const answers = new Array<Answer>(tasks.length);
  const workers: Worker[] = [];
  let next = 0;
  let finished = 0;
  const runThread = async (): Promise<void> => {
    if (next >= tasks.length) return;
    const worker = startThread(entry);
    workers.push(worker);
    while (next < tasks.length) {
      const index = next++;
      const answer = await answerOf<Answer>(worker, tasks[index]!);
      answers[index] = answer;
      done(++finished, answer);
    }
  };
  const stop = (): void => {
    for (const worker of workers) void worker.terminate();
  };
  signal?.addEventListener('abort', stop);
  try {
    signal?.throwIfAborted();
    await Promise.all(Array.from({ length: Math.min(threads, tasks.length) }, runThread));
  } catch (error) {
    signal?.throwIfAborted();
    throw error;
  } finally {
    signal?.removeEventListener('abort', stop);
    await Promise.all(workers.map((worker) => worker.terminate()));
  }
  return answers;
}

function answerOf<Answer>(worker: Worker, task: unknown): Promise<Answer> {
  return new Promise((resolve, reject) => {
    const settle = (): void => {
      worker.off('message', answered);
      worker.off('error', failed);
      worker.off('exit', ended);
    };
    const answered = (answer: Answer): void => {
      settle();
      resolve(answer);
    };
    const failed = (error: unknown): void => {
      settle();
      reject(error);
    };
    const ended = (): void => failed(new Error(`the thread ended while running ${JSON.stringify(task)}`));
    worker.on('message', answered);
    worker.on('error', failed);
    worker.on('exit', ended);
    worker.postMessage(task);
  });
}
