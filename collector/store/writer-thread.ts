import { type MessagePort, parentPort, workerData } from 'node:worker_threads';
import { AppError } from '../contract/errors.ts';
import { BatchLog } from './batch-log.ts';
import { makeFolder, openDatabase } from './database.ts';
import type { Retention } from './retention.ts';
import { type ServiceLock, takeServiceLock } from './service-lock.ts';
import { type FromWriter, type ToWriter, toFault, type WriterData } from './writer-messages.ts';

/** Readings that are moved to chunks between two looks for a commit. Source: own choice: measured, one or two milliseconds. */
const READINGS_A_STEP = 4_000;

/** The thread that commits: one message a transaction; between them the tail becomes chunks. */
function run(port: MessagePort, data: WriterData): void {
  const post = (message: FromWriter, transfer: ArrayBuffer[] = []): void => port.postMessage(message, transfer);
  let lock: ServiceLock | null = null;
  let log: BatchLog;
  try {
    makeFolder(data.dir);
    lock = takeServiceLock(data.dir);
    log = new BatchLog(openDatabase(data.dir, { create: true, locked: true }), data);
  } catch (error) {
    lock?.release();
    post({ kind: 'refused', fault: toFault(error) });
    port.close();
    return;
  }

  let scheduled = false;
  let settling = 0;
  const retentions: Retention[] = [];
  const background = (): void => {
    scheduled = false;
    try {
      log.checkpoint();
      const idle = log.tidy(READINGS_A_STEP, settling > 0);
      const [retention] = retentions;
      if (idle && retention?.step()) {
        retentions.shift();
        post({ kind: 'retained', fault: null });
      }
      if (!idle || retentions.length > 0) schedule();
      if (idle) for (; settling > 0; settling--) post({ kind: 'settled', fault: null });
    } catch (error) {
      // A full disk, say.
      log.abandonSweep();
      if (settling === 0) post({ kind: 'trouble', fault: toFault(error) });
      for (; settling > 0; settling--) post({ kind: 'settled', fault: toFault(error) });
      // It will be asked for again; what it has done stays done.
      for (const _ of retentions.splice(0)) post({ kind: 'retained', fault: toFault(error) });
    }
  };
  const schedule = (): void => {
    if (scheduled) return;
    scheduled = true;
    setImmediate(background);
  };

  port.on('message', (message: ToWriter) => {
    if (message.kind === 'commit') {
      const batch = message.batch?.buffer ?? null;
      let answer: FromWriter;
      try {
        answer = { kind: 'committed', seq: log.commit(message.batch, message.records), batch };
      } catch (error) {
        answer = { kind: 'failed', fault: toFault(error), batch };
      }
      post(answer, batch ? [batch] : []);
      schedule();
    } else if (message.kind === 'settle') {
      settling++;
      schedule();
    } else if (message.kind === 'retain') {
      retentions.push(log.retention(message.rules, message.now));
      schedule();
    } else {
      log.close();
      lock?.release();
      port.close();
    }
  });
  post({ kind: 'ready' });
}

if (!parentPort) throw new AppError('INTERNAL', 'writer-thread is the entry of a worker thread');
run(parentPort, workerData as WriterData);
