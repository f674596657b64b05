import { closeSync, constants, openSync, readFileSync, rmSync, writeSync } from 'node:fs';
import { join } from 'node:path';
import { counted } from '../contract/counted.ts';
import type { Sql } from './sql.ts';

/** Lies beside the store, not in it: what is lost with a part of the store must not take this along. */
const FILE = 'last-commit';
/** Digits of a number of a commit: a file that never grows can be written on a full disk too. */
const DIGITS = 16;
/**
 * How often it is written at most, ms. Source: own choice: what it is for, a log file that is gone, takes minutes of
 * commits along.
 */
const EVERY_MS = 100;

/**
 * The number of the last commit of readings that is known to be on disk, kept beside the store: SQLite opens a database
 * whose write-ahead log was taken away without a word, as it was before.
 */
export class CommitMark {
  readonly #descriptor: number;
  readonly #clock: () => number;
  #written = -1;
  #known = -1;
  #writtenAt = Number.NEGATIVE_INFINITY;

  /**
   * @param dir data folder
   * @param clock monotonic, ms
   */
  constructor(dir: string, clock: () => number) {
    this.#descriptor = openSync(join(dir, FILE), constants.O_RDWR | constants.O_CREAT, 0o600);
    this.#clock = clock;
  }

  /** Commit `seq` of readings is on disk. */
  note(seq: number): void {
    this.#known = seq;
    if (this.#clock() - this.#writtenAt >= EVERY_MS) this.write();
  }

  /** Writes what is known. */
  write(): void {
    if (this.#known === this.#written) return;
    writeSync(this.#descriptor, `${String(this.#known).padStart(DIGITS, '0')}\n`, 0);
    this.#written = this.#known;
    this.#writtenAt = this.#clock();
  }

  close(): void {
    closeSync(this.#descriptor);
  }
}

/** The number that a folder has; null where there is none that can be read. Read it before the store: it only grows. */
export function markedCommit(dir: string): number | null {
  let text: string;
  try {
    text = readFileSync(join(dir, FILE), 'latin1');
  } catch (error) {
    // A store of an older version, or a copy, has none, nor has what is no folder.
    if (/^(ENOENT|ENOTDIR)$/.test(String((error as NodeJS.ErrnoException).code))) return null;
    throw error;
  }
  return /^\d{16}\n$/.test(text) ? Number(text) : null;
}

/** The number of the last commit of readings that the store knows; a batch that was set aside was committed too, and its number is not given twice. */
export function storedCommit(sql: Sql): number {
  const aside = sql.hasTable('set_aside')
    ? `(SELECT max(CAST(substr(what, 7) AS INTEGER)) FROM set_aside WHERE what LIKE 'batch %')`
    : '0';
  return (
    sql.get<{ seq: number }>(
      `SELECT max(coalesce((SELECT max(seq) FROM batch), 0), coalesce((SELECT max(chunked_to) FROM station), 0), coalesce(${aside}, 0)) AS seq`,
    )?.seq ?? 0
  );
}

/**
 * What it means that the store knows less than was committed; null when it does not.
 *
 * @param marked of `markedCommit`
 */
export function lostCommits(marked: number | null, sql: Sql): string | null {
  const stored = marked === null ? null : storedCommit(sql);
  if (marked === null || stored === null || marked <= stored) return null;
  return `${counted(marked - stored, 'commit of readings is', 'commits of readings are')} missing, and what else was written with them: the last one was number ${marked}, the store ends at ${stored}; its log file (driftline.db-wal) was taken away, or an older copy was put in its place`;
}

/** Takes the number away, for a store that is not the folder's old one. */
export function forgetCommits(dir: string): void {
  rmSync(join(dir, FILE), { force: true });
}
