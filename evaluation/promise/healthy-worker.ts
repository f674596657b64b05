import { setPriority } from 'node:os';
import process from 'node:process';
import { parentPort } from 'node:worker_threads';
import { type HealthyTask, runHealthyHall } from './run-healthy-hall.ts';

/** Worker thread: takes one healthy hall after the other and answers with what was found there. */
if (parentPort === null) throw new Error('evaluation/promise/healthy-worker is the entry of a worker thread');
const port = parentPort;
// Beside a running service readings and findings go first. On Linux a priority is a thread's own. Source of the 10: own choice.
if (process.platform === 'linux') setPriority(10);
port.on('message', (task: HealthyTask) => port.postMessage(runHealthyHall(task)));
