import type { LogEntry } from '../contract/log-entry.ts';

// The log of maintenance as a store keeps it. Times are epoch ms; ranges are [from, to).

/** A log entry as kept: `id` ascends in the order of recording. */
export interface StoredLogEntry extends LogEntry {
  readonly id: number;
  readonly recordedAt: number;
  /** What recorded it, e.g. `cli`, `api`, `demo`. */
  readonly source: string;
  /** Name of the person who did; empty where it is not known. */
  readonly who: string;
}

/** How something comes into the log. */
export interface LogRecord {
  readonly recordedAt: number;
  readonly source: string;
  readonly who?: string | undefined;
  readonly key?: string | undefined;
  /** Refuses the same work on the same part of the gun so near in time, ms: most likely one change told twice. */
  readonly onceWithinMs?: number | undefined;
}

/** An entry that was taken back: it stays on record, and counts no more. */
export interface LogCorrection {
  readonly id: number;
  readonly entry: number;
  /** The entry that stands in its place; null where it was only taken back. */
  readonly replacement: number | null;
  readonly at: number;
  readonly who: string;
  readonly why: string;
}

export interface MaintenanceLog {
  /**
   * Adds an entry. With a `key` that was used before nothing is added and the entry of then is returned, `added` false.
   */
  add(entry: LogEntry, record: LogRecord): { entry: StoredLogEntry; added: boolean };
  /**
   * Takes an entry back, and puts another in its place where one is given. The original stays on record.
   *
   * @throws {AppError} NOT_FOUND; EDITED_MEANWHILE when it was taken back before
   */
  correct(
    id: number,
    record: LogRecord & { readonly why: string; readonly replacement: LogEntry | null },
  ): LogCorrection;
  /** What counts: entries that were not taken back, in order of time, then id. */
  list(filter?: { gun?: string; from?: number; to?: number; afterId?: number }): StoredLogEntry[];
  /** All that was ever recorded, also what was taken back. */
  history(filter?: { gun?: string; from?: number; to?: number }): StoredLogEntry[];
  get(id: number): StoredLogEntry | null;
  /** In the order made; those after `afterId`. */
  corrections(afterId?: number): LogCorrection[];
  /** Highest id given so far, 0 when empty: compare it to learn of entries that other processes added. */
  lastId(): number;
}
