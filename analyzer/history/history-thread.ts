import { parentPort, workerData } from 'node:worker_threads';
import { openStore, refuseDamaged } from '../../collector/store/index.ts';
import type { StoredBelief } from '../live/stored-belief.ts';
import type { BaselineAnswer } from './gun-baseline.ts';
import { gunHistory, type HistoryAnswer } from './gun-history.ts';
import type { HistoryAsk, HistoryNews, HistoryOrder, HistoryStart } from './history-messages.ts';

// Start-up file of the thread that looks into the past, so that decompressing years does not hold up acknowledgements.
// The first picture waits for all that is imported here: what only other questions need is loaded with the first of them.
if (parentPort === null) throw new Error('histories are read in a thread of their own');
const port = parentPort;
const { dir, plant } = workerData as HistoryStart;
const store = openStore(dir, { durable: false, leaveOutDamaged: true });

let believed: (() => StoredBelief) | null = null;

port.on('message', ({ id, ask }: HistoryOrder) => {
  const tell = (news: HistoryNews): void => port.postMessage(news);
  answerTo(ask).then(
    (answer) => tell({ id, answer }),
    (error: unknown) => tell({ id, fault: error instanceof Error ? error.message : String(error) }),
  );
});

async function answerTo(ask: HistoryAsk): Promise<HistoryAnswer | BaselineAnswer | Uint8Array> {
  if (ask.kind === 'history') return gunHistory(store, ask.question);
  if (ask.kind === 'baseline') {
    const [{ gunBaseline }, { keptBelief }] = await Promise.all([
      import('./gun-baseline.ts'),
      import('./kept-belief.ts'),
    ]);
    believed ??= keptBelief(store, plant);
    return gunBaseline(store, plant, ask.gun, believed());
  }
  const { runsParquet } = await import('./runs-parquet.ts');
  const runs = store.runs.load(ask.gun, ask.from, ask.to);
  refuseDamaged(store.runs.damaged(ask.gun, ask.from, ask.to));
  return runsParquet(runs, plant);
}
