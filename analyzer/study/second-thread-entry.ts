import { parentPort } from 'node:worker_threads';
import type { SiteHistory } from './history.ts';
import type { SecondNews, SecondOrder } from './second-messages.ts';
import { fromShared } from './shared-history.ts';
import type { Study } from './study.ts';
import { type ManyProgress, studyAll } from './trade-off.ts';

// Start-up file of the second thread of studies: the clock comes in here.
if (parentPort === null) throw new Error('studies run in a thread of their own');
const port = parentPort;
// It runs as far behind others as the thread that asks, whose priority it has from its start (sched(7)): to load what would set it takes longer than all else here.

/** How often progress is told, and work between two looks at what was asked meanwhile, ms. Source: own choice, as the first thread does. */
const TELL_MS = 100;
const SLICE_MS = 20;

let history: SiteHistory | null = null;
/** What is asked for now: anything newer takes its place. */
let wanted: Extract<SecondOrder, { kind: 'ask' }> | null = null;
let busy = false;

port.on('message', (order: SecondOrder) => {
  if (order.kind === 'history') history = fromShared(order.shared);
  else if (order.kind === 'ask') wanted = order;
  else if (wanted?.id === order.id) wanted = null;
  if (wanted !== null && !busy) void work();
});

async function work(): Promise<void> {
  busy = true;
  for (let order = wanted; order !== null; order = order === wanted ? null : wanted) {
    await answer(order);
    if (order === wanted) wanted = null;
  }
  busy = false;
}

async function answer({ id, settings, span }: Extract<SecondOrder, { kind: 'ask' }>): Promise<void> {
  const told = new Set<number>();
  const tell = (share: number, studies: readonly (Study | null)[]): void => {
    const fresh = [...studies.entries()].flatMap(([place, study]) =>
      study === null || told.has(place) ? [] : [[place, study] as const],
    );
    for (const [place] of fresh) told.add(place);
    port.postMessage({ id, share, studies: fresh } satisfies SecondNews);
  };
  const isWanted = (): boolean => wanted?.id === id;
  if (history === null) throw new Error('found a question before any history');
  let last = 0;
  const studies = await through(studyAll(history, settings, span), isWanted, (progress: ManyProgress) => {
    if (Date.now() - last < TELL_MS) return;
    last = Date.now();
    tell(progress.share, progress.studies);
  });
  if (studies !== null) tell(1, studies);
}

/** Runs steps to their end, letting in what is asked meanwhile; null where they are not wanted any more. */
async function through<Step, Result>(
  steps: Generator<Step, Result>,
  isWanted: () => boolean,
  at: (step: Step) => void = () => undefined,
): Promise<Result | null> {
  for (let until = Date.now() + SLICE_MS; isWanted(); ) {
    const step = steps.next();
    if (step.done) return step.value;
    at(step.value);
    if (Date.now() < until) continue;
    await new Promise((resolve) => setImmediate(resolve));
    until = Date.now() + SLICE_MS;
  }
  return null;
}
