import { parentPort, workerData } from 'node:worker_threads';
import { runBehind } from '../background.ts';
import { AppError } from '../contract/index.ts';
import type { ImportNews, ImportOrder } from './import-messages.ts';
import { dryRun, importOne } from './import-one.ts';
import { type ImportOutcome, type ImportRules, ImportStopped } from './import-steps.ts';
import { openImportTarget } from './import-target.ts';

// Start-up file of one import inside the service: the clock comes in here.
if (parentPort === null) throw new Error('an import runs in a thread of its own');
const port = parentPort;
// Readings that come in live go first. Source of the 10: own choice, as for studies.
runBehind(10);
const { dir, plant, file, mapping, dryRun: dry } = workerData as ImportOrder;

/** How often progress is told, ms. Source: own choice, four times a second looks alive. */
const TELL_MS = 250;

const stop = new AbortController();
port.once('message', () => stop.abort());
const tell = (news: ImportNews): void => port.postMessage(news);
let told = 0;
const rules: ImportRules = {
  ...{ plant, mapping, now: () => Date.now(), signal: stop.signal },
  tell: (step) => {
    if (step.kind === 'reading' && Date.now() - told < TELL_MS) return;
    told = Date.now();
    tell({ kind: 'step', step });
  },
};

async function run(): Promise<ImportOutcome> {
  if (dry) return (await dryRun(file, rules)).outcome;
  const target = await openImportTarget(dir, rules.now);
  try {
    const outcome = await importOne(file, target, rules);
    await target.finish();
    return outcome;
  } finally {
    await target.close();
  }
}

try {
  tell({ kind: 'done', outcome: await run() });
} catch (error) {
  if (error instanceof ImportStopped) tell({ kind: 'stopped' });
  else if (error instanceof AppError) tell({ kind: 'refused', code: error.code, message: error.message });
  else throw error;
}
port.close();
