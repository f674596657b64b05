import { type MessagePort, parentPort, workerData } from 'node:worker_threads';
import { AppError } from '../contract/errors.ts';
import { BatchLog } from './batch-log.ts';
import { CheckpointBeside } from './checkpoint-beside.ts';
import { CommitMark, lostCommits, markedCommit, storedCommit } from './commit-mark.ts';
import { damageWords } from './damage.ts';
import { makeFolder, openDatabase } from './database.ts';
import { type ServiceLock, takeServiceLock } from './service-lock.ts';
import type { DamagedSpan } from './stored-readings.ts';
import { WalSync } from './wal-sync.ts';
import { warmWriter } from './warm-writer.ts';
import { WriterChores } from './writer-chores.ts';
import { type FromWriter, type ToWriter, toFault, type WriterData } from './writer-messages.ts';

/** The thread that commits: one message a transaction; between them the tail becomes chunks. */
function run(port: MessagePort, data: WriterData): void {
  const post = (message: FromWriter, transfer: ArrayBuffer[] = []): void => port.postMessage(message, transfer);
  const beside = new CheckpointBeside(
    data.dir,
    () => performance.now(),
    () => walSync.usualMs,
    (error) => post({ kind: 'trouble', fault: toFault(error) }),
  );
  let isReady = false;
  const damaged: string[] = [];
  const tellDamaged = (): void => {
    if (isReady && damaged.length > 0) post({ kind: 'damaged', sentences: damaged.splice(0) });
  };
  const onDamaged = (spans: readonly DamagedSpan[]): void => {
    damaged.push(...spans.map(damageWords));
    tellDamaged();
  };
  let lock: ServiceLock | null = null;
  let log: BatchLog;
  let walSync: WalSync;
  let mark: CommitMark;
  let lost: string | null;
  try {
    makeFolder(data.dir);
    lock = takeServiceLock(data.dir);
    // Each commit is brought to the disk by `WalSync`; what is moved to chunks need not wait for it.
    const sql = openDatabase(data.dir, { create: true, locked: true, durable: false, eager: () => performance.now() });
    walSync = new WalSync(sql.file, () => performance.now());
    log = new BatchLog(sql, data, beside, onDamaged);
    lost = lostCommits(markedCommit(data.dir), sql);
    mark = new CommitMark(data.dir, () => performance.now());
    // Told once; numbers go on from what is there.
    if (lost !== null) mark.note(storedCommit(sql));
    if (data.warm) warmWriter(() => performance.now());
  } catch (error) {
    lock?.release();
    post({ kind: 'refused', fault: toFault(error) });
    port.close();
    return;
  }

  const chores = new WriterChores(log, () => performance.now(), post);
  let durable = 0;
  /** Numbers of commits with readings that are not yet on disk, ascending. */
  const unmarked: number[] = [];
  const markUpTo = (seq: number): void => {
    let newest: number | undefined;
    while (unmarked.length > 0 && unmarked[0]! <= seq) newest = unmarked.shift();
    if (newest === undefined) return;
    try {
      mark.note(newest);
    } catch (error) {
      post({ kind: 'trouble', fault: toFault(error) });
    }
  };
  const commit = ({ batch, records }: Extract<ToWriter, { kind: 'commit' }>): void => {
    const room = batch?.buffer ?? null;
    let seq: number;
    try {
      seq = log.commit(batch, records);
    } catch (error) {
      post({ kind: 'failed', fault: toFault(error), batch: room }, room ? [room] : []);
      return;
    }
    if (batch) unmarked.push(seq);
    // Before it is on disk, so that the next is here by then.
    const written = (): void =>
      post({ kind: 'written', seq, batch: room, durable, free: walSync.free }, room ? [room] : []);
    walSync.sync(seq, written, (upTo) => {
      durable = upTo;
      markUpTo(upTo);
      post({ kind: 'durable', durable, free: walSync.free });
    });
  };

  const end = async (): Promise<void> => {
    chores.stop();
    await beside.stop();
    walSync.close();
    mark.write();
    mark.close();
    log.close();
    lock?.release();
    port.close();
  };
  port.on('message', (message: ToWriter) => {
    if (message.kind === 'commit') {
      chores.beforeNext();
      commit(message);
      chores.soon();
    } else if (message.kind === 'settle') chores.settle();
    else if (message.kind === 'retain') chores.retain(message.rules, message.now);
    else void end();
  });
  post({ kind: 'ready', lost });
  isReady = true;
  tellDamaged();
}

if (!parentPort) throw new AppError('INTERNAL', 'writer-thread is the entry of a worker thread');
run(parentPort, workerData as WriterData);
