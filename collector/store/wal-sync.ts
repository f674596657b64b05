import { closeSync, fdatasync, fdatasyncSync, openSync } from 'node:fs';

/**
 * A disk that takes longer for a sync is not waited for: the next transaction is written meanwhile, ms. Source: own choice:
 * some times what another thread's answer takes, and a fifth of what flash in gateways does. A busy event loop's delay counts in what is
 * measured beside it: at 0.2 ms a quick disk once taken for slow stayed so, and one client got through a fifth less.
 */
const SLOW_MS = 2;
/**
 * Syncs under way at once on such a disk: as many as threads that Node keeps for files. Source: own choice: measured, with
 * two the commits become half as large, with eight nothing is won.
 */
const MOST = 4;
/** Share of the newest sync in what is known of the disk. Source: own choice: some ten commits settle it. */
const NEWEST = 0.2;

/**
 * Brings commits of a database in WAL mode to the disk. It does what SQLite's `synchronous = FULL` does after each commit
 * (sqlite.org/pragma.html#pragma_synchronous: "syncs the WAL file after each transaction commit"), for connections that
 * run with NORMAL: a sync of the log covers all that was written to it before.
 */
export class WalSync {
  readonly #file: string;
  readonly #clock: () => number;
  #descriptor: number | null = null;
  #usualMs = 0;
  #running = 0;
  #durable = 0;

  /**
   * @param database its file; the log is beside it
   * @param clock monotonic, ms
   */
  constructor(database: string, clock: () => number) {
    this.#file = `${database}-wal`;
    this.#clock = clock;
  }

  /** False while the next commit had better wait, and gather more. */
  get free(): boolean {
    return this.#running < MOST;
  }

  /** How long a sync takes now, ms. */
  get usualMs(): number {
    return this.#usualMs;
  }

  /**
   * Has commit number `seq`, which was written just now, brought to the disk.
   *
   * @param onUnderWay called before the disk is waited for: the next commit may be handed over meanwhile
   * @param onDurable called with the highest number that is on disk, perhaps before this returns
   * @throws {Error} the disk does not take it: what was written before may be gone too, so the process must not go on
   */
  sync(seq: number, onUnderWay: () => void, onDurable: (seq: number) => void): void {
    // Never closed and opened again: the log stays the same file while a connection is open.
    this.#descriptor ??= openSync(this.#file, 'r+');
    const began = this.#clock();
    if (this.#usualMs < SLOW_MS) {
      onUnderWay();
      fdatasyncSync(this.#descriptor);
      this.#done(seq, began, onDurable);
      return;
    }
    this.#running++;
    fdatasync(this.#descriptor, (error) => {
      // Out of the event loop: ends the thread, and with it the service.
      if (error) throw error;
      this.#running--;
      this.#done(seq, began, onDurable);
    });
    onUnderWay();
  }

  close(): void {
    if (this.#descriptor !== null) closeSync(this.#descriptor);
    this.#descriptor = null;
  }

  #done(seq: number, began: number, onDurable: (seq: number) => void): void {
    this.#usualMs += NEWEST * (this.#clock() - began - this.#usualMs);
    // Of two at once the later may end first; it has brought the earlier one's bytes along.
    this.#durable = Math.max(this.#durable, seq);
    onDurable(this.#durable);
  }
}
