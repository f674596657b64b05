import { parentPort, workerData } from 'node:worker_threads';
import { levelWhileHolding, openStore } from '../../collector/index.ts';
import { sitePipeline } from '../pipeline.ts';
import { driveLive } from './drive-live.ts';
import { LiveAnalyzer } from './live-analyzer.ts';
import type { LiveStart } from './live-messages.ts';

// Start-up file of the analyzer's thread: the clock comes in here.
if (parentPort === null) throw new Error('the analyzer runs in a thread of its own');
// Readings are taken first. Not lower, because where it may not come level commits wait for what it writes. Source of the 5: own choice.
const onHold = levelWhileHolding(5);
const { dir, plant } = workerData as LiveStart;
// What the analyzer writes can be computed again, so it need not wait for the disk and hold up commits.
const store = openStore(dir, { durable: false, settledOnly: true, leaveOutDamaged: true, onHold });
const analyzer = new LiveAnalyzer({
  store,
  plant,
  pipeline: sitePipeline,
  now: () => Date.now(),
});
driveLive(analyzer, parentPort, () => store.close());
