import { once } from 'node:events';
import type { Worker } from 'node:worker_threads';
import { startThread } from '../thread.ts';
import { type Fault, fromFault } from './writer-messages.ts';

export interface CheckpointStart {
  readonly dir: string;
}

export type CheckpointOrder = 'checkpoint' | 'stop';

export interface CheckpointAnswer {
  readonly fault: Fault | null;
}

/** Time of a sync from which it pays, ms. Source: own choice: half of what flash in gateways takes; on a quicker disk two that sync at once hold each other up longer. */
const PAYS_MS = 5;
/** After a fault, a full disk say, it is not tried again for so long, ms. Source: own choice. */
const PAUSE_MS = 5_000;

/**
 * Brings the write-ahead log into the database in a thread of its own, on a connection of its own: that takes two
 * syncs, for which commits would wait on a slow disk. SQLite lets others write meanwhile (sqlite.org/wal.html#concurrency). The thread is started with the
 * first of them.
 */
export class CheckpointBeside {
  readonly #dir: string;
  readonly #clock: () => number;
  readonly #syncMs: () => number;
  readonly #onFault: (error: Error) => void;
  #thread: Worker | null = null;
  #busy = false;
  #restsUntil = Number.NEGATIVE_INFINITY;

  /**
   * @param clock monotonic, ms
   * @param syncMs how long a sync of the disk takes now
   * @param onFault the log stays as it is, and is tried again
   */
  constructor(dir: string, clock: () => number, syncMs: () => number, onFault: (error: Error) => void) {
    this.#dir = dir;
    this.#clock = clock;
    this.#syncMs = syncMs;
    this.#onFault = onFault;
  }

  /** True where it is to be done here and not between commits. */
  get pays(): boolean {
    return this.#syncMs() >= PAYS_MS;
  }

  /** True while one is under way, and for a while after one that failed. */
  get busy(): boolean {
    return this.#busy || this.#clock() < this.#restsUntil;
  }

  /** Begins one; not to be called while it is busy. */
  begin(): void {
    this.#busy = true;
    this.#running().postMessage('checkpoint' satisfies CheckpointOrder);
  }

  async stop(): Promise<void> {
    const thread = this.#thread;
    this.#thread = null;
    if (thread === null) return;
    const ended = once(thread, 'exit');
    thread.postMessage('stop' satisfies CheckpointOrder);
    await ended;
  }

  #running(): Worker {
    if (this.#thread !== null) return this.#thread;
    const workerData = { dir: this.#dir } satisfies CheckpointStart;
    const thread = startThread(new URL('./checkpoint-thread', import.meta.url), { workerData });
    thread.on('message', ({ fault }: CheckpointAnswer) => this.#ended(fault === null ? null : fromFault(fault)));
    thread.on('error', (error) => {
      if (this.#thread === thread) this.#thread = null;
      this.#ended(error);
    });
    this.#thread = thread;
    return thread;
  }

  #ended(fault: Error | null): void {
    this.#busy = false;
    if (fault === null) return;
    this.#restsUntil = this.#clock() + PAUSE_MS;
    this.#onFault(fault);
  }
}
