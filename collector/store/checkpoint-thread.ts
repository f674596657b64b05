import { parentPort, workerData } from 'node:worker_threads';
import { AppError } from '../contract/errors.ts';
import type { CheckpointAnswer, CheckpointOrder, CheckpointStart } from './checkpoint-beside.ts';
import { openDatabase } from './database.ts';
import { toFault } from './writer-messages.ts';

// Start-up file of the thread that brings the write-ahead log into the database while the writer goes on.
if (parentPort === null) throw new AppError('INTERNAL', 'checkpoint-thread is the entry of a worker thread');
const port = parentPort;
const { dir } = workerData as CheckpointStart;
const sql = openDatabase(dir, { durable: false, asIs: true });

port.on('message', (order: CheckpointOrder) => {
  if (order === 'stop') {
    sql.close();
    port.close();
    return;
  }
  try {
    sql.pragma('wal_checkpoint(PASSIVE)');
    port.postMessage({ fault: null } satisfies CheckpointAnswer);
  } catch (error) {
    port.postMessage({ fault: toFault(error) } satisfies CheckpointAnswer);
  }
});
