import type Database from 'better-sqlite3';
import { AppError } from '../contract/errors.ts';
import { storeFault } from './sqlite-fault.ts';

/**
 * How often an eager connection asks for the lock that another has, ms. Source: own choice: SQLite's own pauses grow, 1, 2, 5, 10 ms
 * (sqliteDefaultBusyCallback), so that a lock held for 4 ms is waited for for 8.
 */
const ASK_EVERY_MS = 0.25;
const NEVER_NOTIFIED = new Int32Array(new SharedArrayBuffer(4));

/** Whole numbers above 2^53 only as bigint: a number is bound as a float. */
export type SqlValue = number | bigint | string | Uint8Array | null;

/** A connection that asks for the lock again and again instead of pausing as SQLite does. */
export interface Eager {
  /** Monotonic, ms. */
  readonly clock: () => number;
  readonly patienceMs: number;
}

/** One connection: prepared statements by their text, transactions, and faults as AppErrors. */
export class Sql {
  readonly file: string;
  readonly #database: Database.Database;
  readonly #statements = new Map<string, Database.Statement>();
  readonly #eager: Eager | null;
  readonly #onHold: (holds: boolean) => void;

  /**
   * @param eager how it asks for the lock again and again; null: it pauses as SQLite does
   * @param onHold told when it wants the lock for writing, and when it has let go of it
   */
  constructor(
    database: Database.Database,
    file: string,
    eager: Eager | null = null,
    onHold: (holds: boolean) => void = () => undefined,
  ) {
    this.#database = database;
    this.file = file;
    this.#eager = eager;
    this.#onHold = onHold;
  }

  get<Row>(text: string, ...values: SqlValue[]): Row | undefined {
    return this.#guard(() => this.#prepare(text).get(...values) as Row | undefined);
  }

  all<Row>(text: string, ...values: SqlValue[]): Row[] {
    return this.#guard(() => this.#prepare(text).all(...values) as Row[]);
  }

  /** @returns how many rows it changed, and the rowid of the last one inserted */
  run(text: string, ...values: SqlValue[]): { changes: number; id: number } {
    const { changes, lastInsertRowid } = this.#guard(() => this.#prepare(text).run(...values));
    return { changes, id: Number(lastInsertRowid) };
  }

  /** Statements that are run once: schema changes, VACUUM. */
  exec(text: string): void {
    this.#guard(() => this.#database.exec(text));
  }

  /** The first value that a PRAGMA answers with. */
  pragma(text: string): unknown {
    return this.#guard(() => this.#database.pragma(text, { simple: true }));
  }

  /** Writes of `body` stand or fall together; inside another transaction they belong to that. */
  write<T>(body: () => T): T {
    if (this.#database.inTransaction) return body();
    this.#onHold(true);
    try {
      return this.#within('BEGIN IMMEDIATE', body, this.#eager);
    } finally {
      this.#onHold(false);
    }
  }

  /** Reads of `body` see one state of the database. */
  read<T>(body: () => T): T {
    return this.#within('BEGIN', body);
  }

  /** Stores of an older version do not have every table. */
  hasTable(name: string): boolean {
    return this.get("SELECT 1 FROM sqlite_schema WHERE type = 'table' AND name = ?", name) !== undefined;
  }

  get readOnly(): boolean {
    return this.#database.readonly;
  }

  get open(): boolean {
    return this.#database.open;
  }

  close(): void {
    this.#statements.clear();
    this.#guard(() => this.#database.close());
  }

  #within<T>(begin: string, body: () => T, eager: Eager | null = null): T {
    if (this.#database.inTransaction) return body();
    if (eager !== null) this.#beginEagerly(begin, eager);
    else this.run(begin);
    try {
      const result = body();
      this.run('COMMIT');
      return result;
    } finally {
      // SQLite has rolled back by itself after some faults, e.g. a full disk.
      if (this.#database.inTransaction) this.run('ROLLBACK');
    }
  }

  #beginEagerly(begin: string, { clock, patienceMs }: Eager): void {
    this.get('PRAGMA busy_timeout = 0');
    try {
      // By the clock: on a busy machine a wait takes several times as long as was asked for.
      for (const until = clock() + patienceMs; ; ) {
        try {
          this.run(begin);
          return;
        } catch (error) {
          if (clock() >= until || !isBusy(error)) throw error;
          Atomics.wait(NEVER_NOTIFIED, 0, 0, ASK_EVERY_MS);
        }
      }
    } finally {
      this.get(`PRAGMA busy_timeout = ${patienceMs}`);
    }
  }

  #prepare(text: string): Database.Statement {
    let statement = this.#statements.get(text);
    if (!statement) {
      statement = this.#database.prepare(text);
      this.#statements.set(text, statement);
    }
    return statement;
  }

  #guard<T>(body: () => T): T {
    try {
      return body();
    } catch (error) {
      throw storeFault(error, this.file);
    }
  }
}

function isBusy(error: unknown): boolean {
  const cause = error instanceof AppError ? error.cause : error;
  return cause instanceof Error && 'code' in cause && String(cause.code).startsWith('SQLITE_BUSY');
}
