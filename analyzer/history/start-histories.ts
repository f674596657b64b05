import type { Worker } from 'node:worker_threads';
import { AppError } from '../../collector/contract/index.ts';
import { startThread } from '../../collector/index.ts';
import type { HistoryAnswer, HistoryQuestion } from './gun-history.ts';
import type { HistoryAsk, HistoryNews, HistoryOrder, HistoryStart } from './history-messages.ts';

/** Where the past of guns is read, seen from the main thread. */
export interface Histories {
  history(question: HistoryQuestion): Promise<HistoryAnswer>;
  /** Runs of a gun that start in [from, to), epoch ms, as a Parquet file. */
  parquet(gun: string, from: number, to: number): Promise<Uint8Array>;
  stop(): Promise<void>;
}

interface Waiting {
  readonly resolve: (answer: HistoryAnswer | Uint8Array) => void;
  readonly reject: (error: Error) => void;
}

/** Histories of a data folder; a thread is started with the first question. */
export function startHistories(options: HistoryStart): Histories {
  let worker: Worker | null = null;
  let nextId = 0;
  let stopped = false;
  const waiting = new Map<number, Waiting>();
  const fail = (error: AppError): void => {
    worker = null;
    for (const { reject } of waiting.values()) reject(error);
    waiting.clear();
  };
  const thread = (): Worker => {
    if (worker !== null) return worker;
    const started = startThread(new URL('./history-thread', import.meta.url), { workerData: options });
    started.on('message', (news: HistoryNews) => {
      const asked = waiting.get(news.id);
      waiting.delete(news.id);
      if ('fault' in news) asked?.reject(new AppError('STORE_UNUSABLE', `the history cannot be read: ${news.fault}`));
      else asked?.resolve(news.answer);
    });
    started.on('error', (error) =>
      fail(new AppError('INTERNAL', `reading the history failed: ${error.message}`, { cause: error })),
    );
    worker = started;
    return started;
  };
  const ask = <Answer extends HistoryAnswer | Uint8Array>(what: HistoryAsk): Promise<Answer> => {
    if (stopped) return Promise.reject(new AppError('NOT_READY', 'the service is stopping'));
    const id = nextId++;
    return new Promise<Answer>((resolve, reject) => {
      waiting.set(id, { resolve: resolve as Waiting['resolve'], reject });
      thread().postMessage({ id, ask: what } satisfies HistoryOrder);
    });
  };
  return {
    history: (question) => ask<HistoryAnswer>({ kind: 'history', question }),
    parquet: (gun, from, to) => ask<Uint8Array>({ kind: 'parquet', gun, from, to }),
    async stop() {
      stopped = true;
      const leaving = worker;
      fail(new AppError('NOT_READY', 'the service is stopping'));
      await leaving?.terminate();
    },
  };
}
