import type { Worker } from 'node:worker_threads';
import { AppError } from '../../collector/contract/index.ts';
import { startThread } from '../../collector/index.ts';
import type { BaselineAnswer } from './gun-baseline.ts';
import type { HistoryAnswer, HistoryQuestion } from './gun-history.ts';
import type { HistoryAsk, HistoryNews, HistoryOrder, HistoryStart } from './history-messages.ts';

/** Where the past of guns is read, seen from the main thread. */
export interface Histories {
  /** Starts the thread, where it does not run yet: who opens the page asks in a moment. */
  ready(): void;
  history(question: HistoryQuestion): Promise<HistoryAnswer>;
  /** What a gun's baseline is, and what taught it. */
  baseline(gun: string): Promise<BaselineAnswer>;
  /** Runs of a gun that start in [from, to), epoch ms, as a Parquet file. */
  parquet(gun: string, from: number, to: number): Promise<Uint8Array>;
  stop(): Promise<void>;
}

type Answer = HistoryAnswer | BaselineAnswer | Uint8Array;

interface Waiting {
  readonly resolve: (answer: Answer) => void;
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
  const ask = <One extends Answer>(what: HistoryAsk): Promise<One> => {
    if (stopped) return Promise.reject(new AppError('NOT_READY', 'the service is stopping'));
    const id = nextId++;
    return new Promise<One>((resolve, reject) => {
      waiting.set(id, { resolve: resolve as Waiting['resolve'], reject });
      thread().postMessage({ id, ask: what } satisfies HistoryOrder);
    });
  };
  return {
    ready() {
      if (!stopped) thread();
    },
    history: (question) => ask<HistoryAnswer>({ kind: 'history', question }),
    baseline: (gun) => ask<BaselineAnswer>({ kind: 'baseline', gun }),
    parquet: (gun, from, to) => ask<Uint8Array>({ kind: 'parquet', gun, from, to }),
    async stop() {
      stopped = true;
      const leaving = worker;
      fail(new AppError('NOT_READY', 'the service is stopping'));
      await leaving?.terminate();
    },
  };
}
