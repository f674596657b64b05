import { parentPort, workerData } from 'node:worker_threads';
import { AppError } from '../../collector/contract/index.ts';
import { openStore, runBehind } from '../../collector/index.ts';
import { answerQuestion } from './answer-question.ts';
import type { SiteHistory } from './history.ts';
import { loadHistory } from './load-history.ts';
import type { StudyNews, StudyOrder, StudyQuestion, StudyStart } from './study-messages.ts';

// Start-up file of the studies' thread: the clock comes in here.
if (parentPort === null) throw new Error('studies run in a thread of their own');
const port = parentPort;
// Readings and live findings go first. Source of the 10: own choice, below the live analysis.
runBehind(10);
const { dir, plant } = workerData as StudyStart;
const store = openStore(dir, { durable: false });

/** How often progress is told, ms. Source: own choice, a tenth of a second looks alive. */
const TELL_MS = 100;
/** Work between two looks at what was asked meanwhile, ms. Source: own choice. */
const SLICE_MS = 20;

let loaded: { readonly stamp: string; readonly history: SiteHistory } | null = null;
const cancelled = new Set<number>();
const waiting: { readonly id: number; readonly question: StudyQuestion }[] = [];
let busy = false;

const tell = (news: StudyNews): void => port.postMessage(news);

port.on('message', (order: StudyOrder) => {
  if (order.kind === 'cancel') cancelled.add(order.id);
  else {
    waiting.push(order);
    if (!busy) void next();
  }
});

async function next(): Promise<void> {
  busy = true;
  for (let asked = waiting.shift(); asked !== undefined; asked = waiting.shift()) {
    const { id, question } = asked;
    try {
      const steps = answerQuestion(history(), question);
      let told = 0;
      for (;;) {
        const until = Date.now() + SLICE_MS;
        let step = steps.next();
        while (!step.done && Date.now() < until) step = steps.next();
        if (step.done) {
          tell({ kind: 'answer', id, answer: step.value });
          break;
        }
        if (Date.now() - told >= TELL_MS) {
          told = Date.now();
          tell({ kind: 'progress', id, progress: step.value });
        }
        // What was asked or cancelled meanwhile comes in here.
        await new Promise((resolve) => setImmediate(resolve));
        if (cancelled.delete(id)) break;
      }
    } catch (error) {
      if (!(error instanceof AppError)) throw error;
      tell({ kind: 'refused', id, code: error.code, message: error.message });
    }
  }
  busy = false;
}

/** The history as it is now; loaded again only where something came in since. */
function history(): SiteHistory {
  const newest = store.readings.stations().map(({ station, lastTime }) => `${station} ${lastTime}`);
  const words = [store.truths.judgements(), store.truths.exclusions(), store.baselines.words()];
  const corrections = store.log.corrections(0).length;
  const stamp = JSON.stringify([newest, store.log.lastId(), corrections, store.settings.list().length, words]);
  if (loaded?.stamp !== stamp) loaded = { stamp, history: loadHistory(store, plant) };
  return loaded.history;
}
