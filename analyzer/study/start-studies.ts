import type { Worker } from 'node:worker_threads';
import { AppError, type Code, codes } from '../../collector/contract/index.ts';
import { startThread } from '../../collector/index.ts';
import type {
  AnsweredStudy,
  BundleQuestion,
  StudyAnswer,
  StudyNews,
  StudyOrder,
  StudyProgress,
  StudyQuestion,
  StudyStart,
} from './study-messages.ts';

/** A question under way. */
export interface AskedStudy {
  readonly id: number;
  readonly progress: StudyProgress;
  /** Rejects with an AppError when it is refused, NOT_FOUND when it was cancelled. */
  readonly answer: Promise<StudyAnswer>;
  cancel(): void;
}

/** Where settings are tried out, seen from the main thread. */
export interface Studies {
  ask(question: StudyQuestion | BundleQuestion): AskedStudy;
  /** Writes a comparison that was answered as a bundle. @throws {AppError} STUDY_UNUSABLE, when its history has changed since */
  save(study: AnsweredStudy, file: string): Promise<void>;
  stop(): Promise<void>;
}

/** The thread holds a whole history in memory: it goes when nobody has asked for so long, ms. Source: own choice; to read a year of eight guns again takes a second or two. */
const IDLE_MS = 2 * 60_000;

const WAITING: StudyProgress = { stage: 'loading', share: 0, points: [] };

interface Waiting {
  progress: StudyProgress;
  /** Null for a bundle that was written. */
  readonly resolve: (answer: StudyAnswer | null) => void;
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
      else if (news.kind === 'saved') settle(news.id, ({ resolve }) => resolve(null));
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

  /** What becomes of an order. */
  const settled = (id: number, order: StudyOrder): Promise<StudyAnswer | null> => {
    if (stopped) throw new AppError('NOT_READY', 'the service is stopping');
    if (idle !== null) clearTimeout(idle);
    idle = null;
    const answer = new Promise<StudyAnswer | null>((resolve, reject) =>
      waiting.set(id, { progress: WAITING, resolve, reject }),
    );
    thread().postMessage(order);
    return answer;
  };

  return {
    ask(question) {
      const id = nextId++;
      // An order of this kind is never answered by null.
      const answer = settled(id, { kind: 'ask', id, question }) as Promise<StudyAnswer>;
      // Whoever asked may look later, or never.
      answer.catch(() => undefined);
      let last = WAITING;
      return {
        id,
        get progress() {
          last = waiting.get(id)?.progress ?? last;
          return last;
        },
        answer,
        cancel() {
          if (!waiting.has(id)) return;
          thread().postMessage({ kind: 'cancel', id } satisfies StudyOrder);
          settle(id, ({ reject }) => reject(new AppError('NOT_FOUND', 'this study was cancelled')));
        },
      };
    },
    async save(study, file) {
      const id = nextId++;
      await settled(id, { kind: 'save', id, study, file });
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
