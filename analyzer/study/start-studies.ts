import type { Worker } from 'node:worker_threads';
import { AppError, type Code, codes } from '../../collector/contract/index.ts';
import { startThread } from '../../collector/index.ts';
import type { StudyAnswer, StudyNews, StudyOrder, StudyProgress, StudyQuestion, StudyStart } from './study-messages.ts';

/** A question under way. */
export interface AskedStudy {
  readonly progress: StudyProgress;
  /** Rejects with an AppError when it is refused, NOT_FOUND when it was cancelled. */
  readonly answer: Promise<StudyAnswer>;
  cancel(): void;
}

/** Where settings are tried out, seen from the main thread. */
export interface Studies {
  ask(question: StudyQuestion): AskedStudy;
  stop(): Promise<void>;
}

/** The thread holds a whole history in memory: it goes when nobody has asked for so long, ms. Source: own choice. */
const IDLE_MS = 5 * 60_000;

interface Waiting {
  progress: StudyProgress;
  readonly resolve: (answer: StudyAnswer) => void;
  readonly reject: (error: Error) => void;
}

/** Studies of a data folder. A thread is started with the first question. */
export function startStudies(options: StudyStart): Studies {
  let worker: Worker | null = null;
  let idle: NodeJS.Timeout | null = null;
  let stopped = false;
  let nextId = 0;
  const waiting = new Map<number, Waiting>();

  const settle = (id: number, how: (one: Waiting) => void): void => {
    const one = waiting.get(id);
    if (one === undefined) return;
    waiting.delete(id);
    how(one);
    if (waiting.size === 0) idle = setTimeout(() => void leave(), IDLE_MS).unref();
  };
  const leave = async (): Promise<void> => {
    const leaving = worker;
    worker = null;
    await leaving?.terminate();
  };
  const failAll = (error: Error): void => {
    worker = null;
    for (const id of [...waiting.keys()]) settle(id, ({ reject }) => reject(error));
  };
  const thread = (): Worker => {
    if (worker !== null) return worker;
    const started = startThread(new URL('./study-thread', import.meta.url), { workerData: options });
    started.on('message', (news: StudyNews) => {
      if (news.kind === 'answer') settle(news.id, ({ resolve }) => resolve(news.answer));
      else if (news.kind === 'refused')
        settle(news.id, ({ reject }) => reject(new AppError(codeOf(news.code), news.message)));
      else {
        const one = waiting.get(news.id);
        if (one !== undefined) one.progress = news.progress;
      }
    });
    started.on('error', (error) => {
      const { code } = error as { code?: string };
      failAll(new AppError(codeOf(code ?? ''), `trying settings failed: ${error.message}`, { cause: error }));
    });
    worker = started;
    return started;
  };

  return {
    ask(question) {
      if (stopped) throw new AppError('NOT_READY', 'the service is stopping');
      if (idle !== null) clearTimeout(idle);
      idle = null;
      const id = nextId++;
      const order = (message: StudyOrder): void => thread().postMessage(message);
      const answer = new Promise<StudyAnswer>((resolve, reject) =>
        waiting.set(id, { progress: { share: 0, points: [] }, resolve, reject }),
      );
      // Whoever asked may look later, or never.
      answer.catch(() => undefined);
      order({ kind: 'ask', id, question });
      let last: StudyProgress = { share: 0, points: [] };
      return {
        get progress() {
          last = waiting.get(id)?.progress ?? last;
          return last;
        },
        answer,
        cancel() {
          if (!waiting.has(id)) return;
          order({ kind: 'cancel', id });
          settle(id, ({ reject }) => reject(new AppError('NOT_FOUND', 'this study was cancelled')));
        },
      };
    },
    async stop() {
      stopped = true;
      const leaving = worker;
      failAll(new AppError('NOT_READY', 'the service is stopping'));
      if (idle !== null) clearTimeout(idle);
      await leaving?.terminate();
    },
  };
}

function codeOf(text: string): Code {
  return text in codes ? (text as Code) : 'INTERNAL';
}
