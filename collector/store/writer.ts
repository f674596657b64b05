import type { Worker } from 'node:worker_threads';
import { AppError } from '../contract/errors.ts';
import { startThread } from '../thread.ts';
import { Gathering } from './gathering.ts';
import type { RetentionRules } from './retention-rules.ts';
import type { CommitGroup, CommitOutcome, Writer } from './store.ts';
import { type FromWriter, fromFault, type ToWriter, type WriterData } from './writer-messages.ts';

export interface WriterOptions {
  /** Room for the quarantine, bytes. Default 64 MiB. Source: own choice, some ten thousand packs. */
  readonly quarantineBytes?: number;
  /**
   * Size of the tail from which it becomes chunks, bytes. Default 4 MiB. Source: own choice: some 60 000 frames, read
   * in a few milliseconds.
   */
  readonly tailBytes?: number;
  /** Whether the thread goes its way over invented packs in memory before it takes any, which takes some tenths of a second. Default false. */
  readonly warm?: boolean;
  /** Told of faults behind the commits, e.g. when the tail could not be made into chunks. */
  readonly onTrouble?: (error: Error) => void;
  /** Told of readings that were found damaged and set aside, a sentence each. Default: a warning of the process. */
  readonly onDamaged?: (sentence: string) => void;
  /** Told once where commits of before are missing, a sentence. Default: a warning of the process. */
  readonly onLost?: (sentence: string) => void;
}

/**
 * Takes a data folder for this process and starts the thread that writes its readings. Makes folder and store
 * where there are none.
 *
 * @throws {AppError} STORE_UNUSABLE: another service runs on it, or see openDatabase; DISK_FULL
 */
export async function startWriter(dir: string, options: WriterOptions = {}): Promise<Writer> {
  const data: WriterData = {
    dir,
    quarantineBytes: options.quarantineBytes ?? 64 * 1024 * 1024,
    tailBytes: options.tailBytes ?? 4 * 1024 * 1024,
    warm: options.warm ?? false,
  };
  const thread = startThread(new URL('./writer-thread', import.meta.url), { workerData: data });
  await new Promise<void>((resolve, reject) => {
    thread.once('error', reject);
    thread.once('message', (message: FromWriter) => {
      thread.off('error', reject);
      if (message.kind === 'refused') reject(fromFault(message.fault));
      else resolve();
      if (message.kind === 'ready' && message.lost !== null)
        (options.onLost ?? ((sentence) => process.emitWarning(sentence)))(`${dir}: ${message.lost}`);
    });
  });
  return new ThreadWriter(
    thread,
    options.onTrouble ?? ((error) => process.emitWarning(error)),
    options.onDamaged ?? ((sentence) => process.emitWarning(`${dir}: ${sentence}`)),
  );
}

/**
 * Size from which a transaction takes nothing more and the next one gathers, bytes. Source: own choice: some milliseconds
 * of writing, and of making chunks later.
 */
const BATCH_BYTES = 1024 * 1024;

interface Waiter {
  readonly resolve: () => void;
  readonly reject: (error: Error) => void;
}

/** Gathers what is to be committed while the thread writes what was gathered before. */
class ThreadWriter implements Writer {
  readonly ended: Promise<void>;
  readonly #thread: Worker;
  readonly #onTrouble: (error: Error) => void;
  readonly #onDamaged: (sentence: string) => void;
  /** Waiting, in order; the last one gathers. */
  #waiting: Gathering[] = [];
  #writing: Gathering | null = null;
  /** Written and not yet on disk, in order. */
  readonly #syncing: { readonly seq: number; readonly gathering: Gathering }[] = [];
  /** The thread takes another. */
  #free = true;
  #scheduled = false;
  #stopped: Promise<void> | null = null;
  #fault: Error | null = null;
  /** Memory of a batch that has been written. */
  #spare: ArrayBuffer | null = null;
  #settling: Waiter[] = [];
  #retaining: Waiter[] = [];

  constructor(thread: Worker, onTrouble: (error: Error) => void, onDamaged: (sentence: string) => void) {
    this.#thread = thread;
    this.#onTrouble = onTrouble;
    this.#onDamaged = onDamaged;
    thread.on('message', (message: FromWriter) => this.#receive(message));
    this.ended = new Promise((resolve, reject) => {
      thread.once('error', (error) => this.#die(error));
      thread.once('exit', () => {
        if (this.#stopped === null) this.#die(new AppError('INTERNAL', 'the thread that writes readings has ended'));
        if (this.#fault) reject(this.#fault);
        else resolve();
      });
    });
    // Whoever does not wait for the end learns of it from the commits, which all fail then.
    this.ended.catch(() => undefined);
  }

  get pendingBytes(): number {
    return this.#unfinished().reduce((sum, gathering) => sum + gathering.bytes, 0);
  }

  commit(group: CommitGroup): Promise<CommitOutcome> {
    if (this.#fault) return Promise.reject(this.#fault);
    if (this.#stopped !== null) return Promise.reject(new AppError('INTERNAL', 'commit after the writer was stopped'));
    const last = this.#waiting.at(-1);
    const gathering = last && last.bytes < BATCH_BYTES ? last : this.#newGathering();
    try {
      gathering.add(group);
    } catch (error) {
      return Promise.reject(error);
    }
    if (gathering !== last) this.#waiting.push(gathering);
    // Not at once: what else the caller has to hand over goes along.
    if (!this.#writing && !this.#scheduled) {
      this.#scheduled = true;
      process.nextTick(() => {
        this.#scheduled = false;
        this.#writeNext();
      });
    }
    return gathering.outcome;
  }

  settle(): Promise<void> {
    if (this.#fault) return Promise.reject(this.#fault);
    if (this.#stopped !== null) return Promise.reject(new AppError('INTERNAL', 'settle after the writer was stopped'));
    return new Promise((resolve, reject) => {
      this.#settling.push({ resolve, reject });
      this.#post({ kind: 'settle' });
    });
  }

  retain(rules: RetentionRules, now: number): Promise<void> {
    if (this.#fault) return Promise.reject(this.#fault);
    if (this.#stopped !== null) return Promise.reject(new AppError('INTERNAL', 'retain after the writer was stopped'));
    return new Promise((resolve, reject) => {
      this.#retaining.push({ resolve, reject });
      this.#post({ kind: 'retain', rules, now });
    });
  }

  stop(): Promise<void> {
    this.#stopped ??= this.#stop();
    return this.#stopped;
  }

  async #stop(): Promise<void> {
    if (!this.#fault) {
      this.#writeNext();
      // Their callers are told how these end; here it only matters that they have.
      await Promise.allSettled(this.#unfinished().map((gathering) => gathering.outcome));
      this.#post({ kind: 'stop' });
    }
    await this.ended;
  }

  #newGathering(): Gathering {
    const room = this.#spare;
    this.#spare = null;
    return new Gathering(room);
  }

  /** In order. */
  #unfinished(): Gathering[] {
    const writing = this.#writing === null ? [] : [this.#writing];
    return [...this.#syncing.map(({ gathering }) => gathering), ...writing, ...this.#waiting];
  }

  #writeNext(): void {
    if (this.#writing || !this.#free) return;
    const next = this.#waiting.shift();
    if (!next) return;
    this.#writing = next;
    const { batch, records } = next.take();
    this.#post({ kind: 'commit', batch, records }, batch ? [batch.buffer] : []);
  }

  #receive(message: FromWriter): void {
    if (message.kind === 'written') {
      if (this.#writing) this.#syncing.push({ seq: message.seq, gathering: this.#writing });
      this.#writing = null;
      if (message.batch) this.#spare = message.batch;
      this.#goOn(message);
    } else if (message.kind === 'durable') this.#goOn(message);
    else if (message.kind === 'failed') {
      const failed = this.#writing;
      this.#writing = null;
      if (message.batch) this.#spare = message.batch;
      this.#writeNext();
      failed?.reject(fromFault(message.fault));
    } else if (message.kind === 'settled' || message.kind === 'retained') {
      const waiter = (message.kind === 'settled' ? this.#settling : this.#retaining).shift();
      if (message.fault) waiter?.reject(fromFault(message.fault));
      else waiter?.resolve();
    } else if (message.kind === 'damaged') message.sentences.forEach(this.#onDamaged);
    else if (message.kind === 'trouble') this.#onTrouble(fromFault(message.fault));
  }

  /** The thread gets its next work before those are told whose readings are on disk. */
  #goOn({ durable, free }: { readonly durable: number; readonly free: boolean }): void {
    this.#free = free;
    this.#writeNext();
    while (this.#syncing.length > 0 && this.#syncing[0]!.seq <= durable) {
      const { seq, gathering } = this.#syncing.shift()!;
      gathering.resolve(seq);
    }
  }

  #die(error: Error): void {
    this.#fault ??= error;
    for (const gathering of this.#unfinished()) gathering.reject(this.#fault);
    this.#syncing.length = 0;
    for (const { reject } of [...this.#settling, ...this.#retaining]) reject(this.#fault);
    this.#writing = null;
    this.#waiting = [];
    this.#settling = [];
    this.#retaining = [];
  }

  #post(message: ToWriter, transfer: ArrayBuffer[] = []): void {
    this.#thread.postMessage(message, transfer);
  }
}
