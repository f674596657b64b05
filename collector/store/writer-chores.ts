import type { BatchLog } from './batch-log.ts';
import type { Retention } from './retention.ts';
import type { RetentionRules } from './retention-rules.ts';
import { sweepRestMs } from './sweep-rest.ts';
import { type FromWriter, toFault } from './writer-messages.ts';

/** Readings that are moved to chunks between two looks for a commit. Source: own choice: measured, one or two milliseconds. */
const READINGS_A_STEP = 4_000;

/**
 * Least rest after old data were taken away for a while, ms. Source: sqliteDefaultBusyCallback, whose longest pause between two asks for the lock is 100 ms: without it a
 * hall's first year, that was brought in and is thinned, kept all others from writing for so long that the service ended.
 */
const RETENTION_REST_MS = 120;

/** The writing end of the tail, as far as its chores go. */
type ChoresLog = Pick<BatchLog, 'checkpoint' | 'tidy' | 'urgency' | 'abandonSweep' | 'retention'>;

/** What the thread that commits does between commits: the log goes to the database, the tail becomes chunks, old data go. */
export class WriterChores {
  readonly #log: ChoresLog;
  readonly #clock: () => number;
  readonly #post: (message: FromWriter) => void;
  readonly #retentions: Retention[] = [];
  #settling = 0;
  #scheduled: NodeJS.Immediate | null = null;
  #restsUntil = Number.NEGATIVE_INFINITY;
  #resting: NodeJS.Timeout | null = null;
  #stopped = false;

  /** @param clock monotonic, ms */
  constructor(log: ChoresLog, clock: () => number, post: (message: FromWriter) => void) {
    this.#log = log;
    this.#clock = clock;
    this.#post = post;
  }

  /** Something has been committed. */
  soon(): void {
    this.#scheduled ??= setImmediate(() => this.#step());
  }

  /** Does before the next commit what was to come soon: commits that wait are handed out one upon the other, and the loop would not come to it. */
  beforeNext(): void {
    if (this.#scheduled === null) return;
    clearImmediate(this.#scheduled);
    this.#step();
  }

  /** The whole tail becomes chunks now, without rests. */
  settle(): void {
    this.#settling++;
    this.soon();
  }

  retain(rules: RetentionRules, now: number): void {
    this.#retentions.push(this.#log.retention(rules, now));
    this.soon();
  }

  /** Nothing more is done from now on. */
  stop(): void {
    this.#stopped = true;
    if (this.#resting !== null) clearTimeout(this.#resting);
  }

  #step(): void {
    this.#scheduled = null;
    if (this.#stopped) return;
    try {
      this.#log.checkpoint();
      if (this.#settling > 0 || this.#clock() >= this.#restsUntil) this.#tidy();
      else this.#wake();
    } catch (error) {
      this.#failed(error);
    }
  }

  #tidy(): void {
    const began = this.#clock();
    const idle = this.#log.tidy(READINGS_A_STEP, this.#settling > 0);
    if (!idle) {
      const ended = this.#clock();
      this.#restsUntil = ended + sweepRestMs(ended - began, this.#log.urgency);
    }
    if (idle) this.#retain();
    if (idle) for (; this.#settling > 0; this.#settling--) this.#post({ kind: 'settled', fault: null });
    if (idle && this.#retentions.length === 0) return;
    if (this.#settling > 0) this.soon();
    else this.#wake();
  }

  #retain(): void {
    const [retention] = this.#retentions;
    if (retention === undefined) return;
    const began = this.#clock();
    if (retention.step()) {
      this.#retentions.shift();
      this.#post({ kind: 'retained', fault: null });
    }
    const ended = this.#clock();
    this.#restsUntil = ended + Math.max(RETENTION_REST_MS, sweepRestMs(ended - began, this.#log.urgency));
  }

  /** Goes on after the rest. */
  #wake(): void {
    const rest = this.#restsUntil - this.#clock();
    if (rest <= 0) this.soon();
    else
      this.#resting ??= setTimeout(() => {
        this.#resting = null;
        this.soon();
      }, rest);
  }

  /** A full disk, say. */
  #failed(error: unknown): void {
    const fault = toFault(error);
    this.#log.abandonSweep();
    if (this.#settling === 0) this.#post({ kind: 'trouble', fault });
    for (; this.#settling > 0; this.#settling--) this.#post({ kind: 'settled', fault });
    // It will be asked for again; what it has done stays done.
    for (const _ of this.#retentions.splice(0)) this.#post({ kind: 'retained', fault });
  }
}
