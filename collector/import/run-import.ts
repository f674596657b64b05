import { startThread } from '../thread.ts';
import type { ImportNews, ImportOrder } from './import-messages.ts';
import type { ImportOutcome, ImportStep } from './import-steps.ts';

/** An import, or a dry run, under way in a thread of its own. */
export interface RunningImport {
  readonly id: string;
  /** Where it is; null before it says. */
  readonly step: ImportStep | null;
  /** Asks it to end; it tells when it has. */
  stop(): void;
  /** Leaves it as a crash would: it goes on at the next start, and nothing more is told of it. */
  leave(): Promise<void>;
}

/** Who is told how it goes. `ended` comes last, once the thread is gone. */
export interface ImportEnds {
  stopped(): void;
  refused(fault: string): void;
  done(outcome: ImportOutcome): void;
  ended(): void;
}

/** Starts the thread of one import. */
export function runImport(order: ImportOrder, id: string, ends: ImportEnds): RunningImport {
  const thread = startThread(new URL('./import-thread', import.meta.url), { workerData: order });
  let step: ImportStep | null = null;
  let isLeft = false;
  const unlessLeft = (act: () => void): void => {
    if (!isLeft) act();
  };
  thread.on('message', (news: ImportNews) =>
    unlessLeft(() => {
      if (news.kind === 'step') step = news.step;
      else if (news.kind === 'stopped') ends.stopped();
      else if (news.kind === 'refused') ends.refused(news.message);
      else ends.done(news.outcome);
    }),
  );
  thread.on('error', (error) => unlessLeft(() => ends.refused(`reading it failed: ${error.message}`)));
  thread.on('exit', () => unlessLeft(() => ends.ended()));
  return {
    id,
    get step() {
      return step;
    },
    stop: () => thread.postMessage('stop'),
    leave: async () => {
      isLeft = true;
      await thread.terminate();
    },
  };
}
