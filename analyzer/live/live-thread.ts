import { parentPort, workerData } from 'node:worker_threads';
import { openStore, runBehind } from '../../collector/index.ts';
import { sitePipeline } from '../pipeline.ts';
import { driveLive } from './drive-live.ts';
import { LiveAnalyzer } from './live-analyzer.ts';
import type { LiveStart } from './live-messages.ts';

// Start-up file of the analyzer's thread: the clock comes in here.
if (parentPort === null) throw new Error('the analyzer runs in a thread of its own');
// Readings are taken first. Not lower, because commits wait for what the analyzer writes. Source of the 5: own choice.
runBehind(5);
const { dir, plant } = workerData as LiveStart;
// What the analyzer writes can be computed again, so it need not wait for the disk and hold up commits.
const store = openStore(dir, { durable: false });
const analyzer = new LiveAnalyzer({
  store,
  plant,
  pipeline: sitePipeline,
  now: () => Date.now(),
});
driveLive(analyzer, parentPort, () => store.close());
