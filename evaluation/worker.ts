import { parentPort } from 'node:worker_threads';
import { type CaseTask, runCase } from './run-case.ts';

/** Worker thread: takes one hall after the other and answers with its score. */
if (parentPort === null) throw new Error('evaluation/worker is the entry of a worker thread');
const port = parentPort;
port.on('message', (task: CaseTask) => port.postMessage(runCase(task)));
