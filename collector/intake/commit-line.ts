import { AppError } from '../contract/errors.ts';
import type { Log } from '../log.ts';
import type { CommitOutcome, Writer } from '../store/store.ts';
import type { Group } from './group.ts';

/** First and longest pause before a commit is tried again, ms. Source: own choice, because room on a disk comes back
 * by a person's hand: seconds later is soon enough. */
const FIRST_PAUSE_MS = 500;
const LONGEST_PAUSE_MS = 5_000;

interface Waiting {
  readonly group: Group;
  readonly startedAt: number;
  outcome: CommitOutcome | null;
  failed: boolean;
}

export interface CommitLineOptions {
  readonly writer: Pick<Writer, 'commit'>;
  /** Monotonic clock, ms. */
  readonly clock: () => number;
  readonly log: Log;
  /** A group is durable; called in the order of handing over. */
  readonly onDurable: (group: Group, outcome: CommitOutcome, durationMs: number) => void;
  /** Commits work again after a failure. */
  readonly onRecovered: () => void;
}

/**
 * Groups on their way to the disk. They are handed to the writer at once, and given back in order; one that could not be
 * stored is tried again until it can, and all behind it wait, so that nothing is acknowledged out of turn.
 */
export class CommitLine {
  readonly #options: CommitLineOptions;
  readonly #line: Waiting[] = [];
  #pauseMs = 0;
  #failingSince: number | null = null;
  #retry: NodeJS.Timeout | null = null;
  #stopped = false;
  #idle: (() => void)[] = [];

  constructor(options: CommitLineOptions) {
    this.#options = options;
  }

  /** True from a failed commit until one succeeds. */
  get failing(): boolean {
    return this.#failingSince !== null;
  }

  get waiting(): number {
    return this.#line.length;
  }

  add(group: Group): void {
    const waiting: Waiting = { group, startedAt: this.#options.clock(), outcome: null, failed: false };
    this.#line.push(waiting);
    this.#commit(waiting);
  }

  /** Resolves once nothing waits; when commits fail, or after `stop`, at once. */
  drained(): Promise<void> {
    if (this.waiting === 0 || this.failing || this.#stopped) return Promise.resolve();
    return new Promise((resolve) => this.#idle.push(resolve));
  }

  /** Gives up what could not be stored; it was never acknowledged. */
  stop(): void {
    this.#stopped = true;
    if (this.#retry !== null) clearTimeout(this.#retry);
    this.#release();
  }

  #commit(waiting: Waiting): void {
    waiting.failed = false;
    this.#options.writer.commit(waiting.group).then(
      (outcome) => {
        waiting.outcome = outcome;
        this.#advance();
      },
      (error: unknown) => {
        if (error instanceof RangeError) this.#refuseAll(waiting, error);
        else {
          waiting.failed = true;
          this.#fail(error);
        }
      },
    );
  }

  #advance(): void {
    if (this.#stopped) return;
    if (this.#failingSince !== null && this.#line[0]?.outcome) this.#recover(this.#failingSince);
    for (let next = this.#line[0]; next !== undefined && next.outcome !== null; next = this.#line[0]) {
      this.#line.shift();
      this.#options.onDurable(next.group, next.outcome, this.#options.clock() - next.startedAt);
    }
    if (this.waiting === 0) this.#release();
  }

  /** What the writer can never store must not block all else for ever: it goes into the quarantine as it came. */
  #refuseAll(waiting: Waiting, error: RangeError): void {
    if (this.#stopped) return;
    this.#options.log.error({ error: error.message }, 'a group met a fault of our own and goes into the quarantine');
    waiting.group.refuseAll('fault-of-ours', error.message);
    this.#commit(waiting);
  }

  #fail(error: unknown): void {
    if (this.#stopped) return;
    if (this.#failingSince === null) {
      this.#failingSince = this.#options.clock();
      const message = error instanceof Error ? error.message : String(error);
      const code = error instanceof AppError ? error.code : 'INTERNAL';
      this.#options.log.error(
        { code, error: message },
        'readings cannot be stored: nothing is acknowledged until they can',
      );
      this.#release();
    }
    this.#pauseMs = Math.min(LONGEST_PAUSE_MS, this.#pauseMs === 0 ? FIRST_PAUSE_MS : 2 * this.#pauseMs);
    this.#retry ??= setTimeout(() => {
      this.#retry = null;
      for (const waiting of this.#line) if (waiting.failed) this.#commit(waiting);
    }, this.#pauseMs);
  }

  #recover(since: number): void {
    const seconds = Math.round((this.#options.clock() - since) / 1000);
    this.#failingSince = null;
    this.#pauseMs = 0;
    this.#options.log.info({ seconds, groups: this.waiting }, 'readings are stored again');
    this.#options.onRecovered();
  }

  #release(): void {
    const idle = this.#idle;
    this.#idle = [];
    for (const resolve of idle) resolve();
  }
}
