import { parentPort, workerData } from 'node:worker_threads';
import { openStore } from '../../collector/index.ts';
import { gunBaseline } from './gun-baseline.ts';
import { gunHistory } from './gun-history.ts';
import type { HistoryNews, HistoryOrder, HistoryStart } from './history-messages.ts';
import { keptBelief } from './kept-belief.ts';
import { runsParquet } from './runs-parquet.ts';

// Start-up file of the thread that looks into the past, so that decompressing years does not hold up acknowledgements.
if (parentPort === null) throw new Error('histories are read in a thread of their own');
const port = parentPort;
const { dir, plant } = workerData as HistoryStart;
const store = openStore(dir, { durable: false });

const believed = keptBelief(store, plant);

port.on('message', ({ id, ask }: HistoryOrder) => {
  const tell = (news: HistoryNews): void => port.postMessage(news);
  try {
    if (ask.kind === 'history') tell({ id, answer: gunHistory(store, ask.question) });
    else if (ask.kind === 'baseline') tell({ id, answer: gunBaseline(store, plant, ask.gun, believed()) });
    else tell({ id, answer: runsParquet(store.runs.load(ask.gun, ask.from, ask.to)) });
  } catch (error) {
    tell({ id, fault: error instanceof Error ? error.message : String(error) });
  }
});
