import { parentPort, workerData } from 'node:worker_threads';
import { AppError } from '../../collector/contract/index.ts';
import { collectOnce, openStore, runBehind } from '../../collector/index.ts';
import { finish } from '../finish.ts';
import { answerQuestion } from './answer-question.ts';
import { readBundleFile, writeBundleFile } from './bundle-file.ts';
import { bundleOfAnswer } from './bundle-of-answer.ts';
import type { SiteHistory } from './history.ts';
import { historySteps } from './load-history.ts';
import { openBundle } from './open-bundle.ts';
import { SecondThread } from './second-thread.ts';
import type { StudyBundle } from './study-bundle.ts';
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

// Start-up file of the studies' thread: the clock comes in here.
if (parentPort === null) throw new Error('studies run in a thread of their own');
const port = parentPort;
// Readings and live findings go first. Source of the 10: own choice, below the live analysis.
runBehind(10);
const { dir, plant, versions } = workerData as StudyStart;
const store = openStore(dir, { durable: false });

/** How often progress is told, ms. Source: own choice, a tenth of a second looks alive. */
const TELL_MS = 100;
/** Work between two looks at what was asked meanwhile, ms. Source: own choice. */
const SLICE_MS = 20;

/** Time without a question after which the other thread goes and what answers left behind is collected, ms. Source: own choice, people ask a few in a row. */
const REST_MS = 15_000;

type Order = Exclude<StudyOrder, { kind: 'cancel' }>;

const second = SecondThread.where();
let loaded: { readonly stamp: string; readonly history: SiteHistory } | null = null;
/** The newest comparison with the history that it was made of, until another history takes its room. */
let answered: { readonly id: number; readonly bundle: StudyBundle } | null = null;
const cancelled = new Set<number>();
const waiting: Order[] = [];
let busy = false;
let rest: NodeJS.Timeout | undefined;

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
  clearTimeout(rest);
  for (let order = waiting.shift(); order !== undefined; order = waiting.shift()) {
    try {
      if (order.kind === 'ask') await answer(order.id, order.question);
      else {
        await writeBundleFile(order.file, bundleOf(order.study), versions);
        tell({ kind: 'saved', id: order.id });
      }
    } catch (error) {
      if (!(error instanceof AppError)) throw error;
      tell({ kind: 'refused', id: order.id, code: error.code, message: error.message });
    }
  }
  busy = false;
  rest = setTimeout(() => void takeRest(), REST_MS);
}

/** Until the next question only the history is kept: most of the memory that settings were tried in is neither, and would stay for as long. */
async function takeRest(): Promise<void> {
  await second?.stop();
  if (!busy) collectOnce();
}

async function answer(id: number, question: StudyQuestion | BundleQuestion): Promise<void> {
  tell({ kind: 'progress', id, progress: loadingOf(0) });
  const steps = await stepsOf(question);
  for (let told = 0; ; ) {
    const until = Date.now() + SLICE_MS;
    let step = await steps.next();
    while (!step.done && Date.now() < until) step = await steps.next();
    if (step.done) {
      if (question.kind !== 'open') keep(id, question, step.value);
      tell({ kind: 'answer', id, answer: step.value });
      return;
    }
    if (Date.now() - told >= TELL_MS) {
      told = Date.now();
      tell({ kind: 'progress', id, progress: step.value });
    }
    // What was asked or cancelled meanwhile comes in here.
    await new Promise((resolve) => setImmediate(resolve));
    if (!cancelled.delete(id)) continue;
    // Ends what runs elsewhere for it, too.
    await steps.return(undefined as never);
    return;
  }
}

type Steps = Generator<StudyProgress, StudyAnswer> | AsyncGenerator<StudyProgress, StudyAnswer>;

async function stepsOf(question: StudyQuestion | BundleQuestion): Promise<Steps> {
  if (question.kind !== 'open') return stepsOnHistory(question);
  return openBundle(await readBundleFile(question.file, versions, question.name), question.name);
}

const loadingOf = (share: number): StudyProgress => ({ stage: 'loading', share, points: [] });

/** First the history is loaded, then the question answered; told as one work. */
async function* stepsOnHistory(question: StudyQuestion): AsyncGenerator<StudyProgress, StudyAnswer> {
  const isForTwo = second !== null && question.kind !== 'compare';
  // It needs about as long to begin as the runs to be read.
  if (isForTwo) second.start();
  const steps = history();
  for (let step = steps.next(); ; step = steps.next()) {
    if (step.done) break;
    yield loadingOf(step.value);
  }
  if (isForTwo) handOver(second);
  return yield* answerQuestion(loaded!.history, question, second);
}

/** From here on both threads work on the same memory: what is kept of it is kept once. */
function handOver(other: SecondThread): void {
  const { stamp, history: own } = loaded!;
  const shared = other.handOver(own);
  loaded = { stamp, history: shared };
  if (answered?.bundle.history === own) answered = { ...answered, bundle: { ...answered.bundle, history: shared } };
}

/** Keeps what a comparison was made of, so that it can be written down as it was answered. */
function keep(id: number, { present, proposed }: StudyQuestion, given: StudyAnswer): void {
  if (given.kind !== 'compare' || loaded === null) return;
  const { report } = given;
  const span = { from: Date.parse(report.from), to: Date.parse(report.to) };
  const bundle = { history: loaded.history, ...span, present, proposed, report: JSON.stringify(report) };
  answered = { id, bundle };
}

function bundleOf(study: AnsweredStudy): StudyBundle {
  return answered?.id === study.id ? answered.bundle : bundleOfAnswer(finish(history()), study);
}

/** The history as it is now; loaded again only where something came in since. */
function* history(): Generator<number, SiteHistory> {
  const newest = store.readings.stations().map(({ station, lastTime }) => `${station} ${lastTime}`);
  const words = [store.truths.judgements(), store.truths.exclusions(), store.baselines.words()];
  const corrections = store.log.corrections(0).length;
  const stamp = JSON.stringify([newest, store.log.lastId(), corrections, store.settings.list().length, words]);
  if (loaded?.stamp !== stamp) {
    answered = null;
    // What is left half way leaves nothing behind, and the next question begins anew.
    loaded = null;
    loaded = { stamp, history: yield* historySteps(store, plant) };
  }
  return loaded.history;
}
