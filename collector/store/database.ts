import { existsSync, mkdirSync, statSync } from 'node:fs';
import { dirname, join } from 'node:path';
import Database from 'better-sqlite3';
import { AppError } from '../contract/errors.ts';
import { APPLICATION_ID, MIGRATIONS } from './migrations.ts';
import { takeServiceLock } from './service-lock.ts';
import { Sql } from './sql.ts';
import { storeFault } from './sqlite-fault.ts';

export const STORE_FILE = 'driftline.db';

/**
 * Pages that a connection keeps, KiB. Source: own choice, a quarter of what the driver is built with: a service has some five connections, each of which
 * fills its share as the database grows; more than any transaction of the service writes, and the system keeps the file in memory besides.
 */
const CACHE_KIB = 4096;

/** Whether a folder holds a store. */
export function storeIsIn(dir: string): boolean {
  return existsSync(join(dir, STORE_FILE));
}

export interface OpenOptions {
  /** Make the folder and an empty store where there is none; otherwise that is an error. */
  readonly create?: boolean;
  /** How long a statement waits for another program's transaction, ms. */
  readonly busyMs?: number;
  /** Monotonic clock, ms: ask by it for the lock of another's transaction again and again, for the threads that readings wait for. Default: pause as SQLite does. */
  readonly eager?: () => number;
  /** Told when this connection wants the lock for writing, and when it has let go of it. */
  readonly onHold?: (holds: boolean) => void;
  /**
   * False for a connection whose writes can be computed anew from the readings: they are not waited for on the disk, and
   * the last of them may be gone after a power cut, in order; nothing is damaged. Default true.
   */
  readonly durable?: boolean;
  /**
   * The writer runs in this process and brings the write-ahead log into the database, after commits and with retention: this
   * connection leaves that to it, as those do that are not durable. Default false.
   */
  readonly besideWriter?: boolean;
  /** Readings that wait until their station's clock is known are left out: for what is found in them. Default false. */
  readonly settledOnly?: boolean;
  /** Readings that are damaged are left out, and noted, where they would be refused: for whoever goes on without them and tells of it. Default false. */
  readonly leaveOutDamaged?: boolean;
  /** The caller holds the service lock, so that it may bring an older schema up to date. */
  readonly locked?: boolean;
  /** Leave an older schema as it is: for whoever copies or checks a store. */
  readonly asIs?: boolean;
  /** Change nothing at all; implies `asIs`, for files that nobody else has open. */
  readonly readOnly?: boolean;
  /** The database file, where it is not the folder's store. */
  readonly file?: string;
}

/**
 * Opens the database of a data folder, makes or updates its schema, and sets what every connection needs.
 *
 * @throws {AppError} USAGE: no store there; STORE_UNUSABLE: not writable, damaged, of another program or of a newer version;
 * DISK_FULL
 */
export function openDatabase(dir: string, options: OpenOptions = {}): Sql {
  const file = options.file ?? join(dir, STORE_FILE);
  const busyMs = options.busyMs ?? 10_000;
  let database: Database.Database;
  if (options.create) makeFolder(dir);
  else if (!existsSync(file))
    throw new AppError('USAGE', `${dir}: holds no store (${STORE_FILE}); expected the folder of a service`);
  try {
    database = new Database(file, { timeout: busyMs, readonly: options.readOnly ?? false });
  } catch (error) {
    throw storeFault(error, dir);
  }
  const sql = new Sql(
    database,
    file,
    options.eager ? { clock: options.eager, patienceMs: busyMs } : null,
    options.onHold,
  );
  try {
    refuseForeign(sql);
    sql.pragma(`cache_size = -${CACHE_KIB}`);
    if (options.readOnly) return sql;
    if (sql.pragma('journal_mode = WAL') !== 'wal')
      throw new AppError(
        'STORE_UNUSABLE',
        `${file}: its file system cannot share memory between programs; use a local disk`,
      );
    sql.pragma(`synchronous = ${(options.durable ?? true) ? 'FULL' : 'NORMAL'}`);
    sql.pragma('foreign_keys = ON');
    // Else any of their commits may wait for megabytes to be written and synced, and the writer's syncs with it.
    if (options.besideWriter || options.durable === false) sql.pragma('wal_autocheckpoint = 0');
    // A checkpoint leaves the log at its size for the next round; longer ones, e.g. after VACUUM, are cut back to this.
    sql.pragma('journal_size_limit = 67108864');
    if (!options.asIs) migrate(sql, dir, options.locked ?? false);
    return sql;
  } catch (error) {
    database.close();
    throw error;
  }
}

/**
 * @returns the folders that had to be made, outermost first
 * @throws {AppError} STORE_UNUSABLE when it is no folder, or is not there and cannot be made
 */
export function makeFolder(dir: string): string[] {
  if (existsSync(dir)) {
    if (!statSync(dir).isDirectory()) throw new AppError('STORE_UNUSABLE', `${dir}: found a file, expected a folder`);
    return [];
  }
  // One by one: mkdir's own `recursive` never ends on some file systems that refuse (Node 20 under /proc).
  const outer = dirname(dir) === dir ? [] : makeFolder(dirname(dir));
  try {
    mkdirSync(dir);
    return [...outer, dir];
  } catch (error) {
    // Another process may have been faster.
    if (!existsSync(dir)) throw storeFault(error, dir);
    return outer;
  }
}

/** Looks before anything is written: a file of another program stays as it was. */
function refuseForeign(sql: Sql): void {
  const application = sql.pragma('application_id');
  const version = Number(sql.pragma('user_version'));
  const tables = sql.get<{ n: number }>('SELECT count(*) AS n FROM sqlite_schema')?.n ?? 0;
  if (application !== APPLICATION_ID && (sql.readOnly || tables > 0 || application !== 0 || version !== 0))
    throw new AppError('STORE_UNUSABLE', `${sql.file}: is a database of another program; give another folder`);
  if (version > MIGRATIONS.length)
    throw new AppError(
      'STORE_UNUSABLE',
      `${sql.file}: was written by a newer driftline (store version ${version}, this one knows up to ${MIGRATIONS.length}); install that version or later`,
    );
}

function migrate(sql: Sql, dir: string, locked: boolean): void {
  const version = (): number => Number(sql.pragma('user_version'));
  const from = version();
  if (from === MIGRATIONS.length) return;
  // An older service may be running on an older schema: it must not be changed under its feet.
  const lock = from > 0 && !locked ? takeServiceLock(dir) : null;
  try {
    sql.write(() => {
      // Read again: another process may have been faster.
      for (let next = version(); next < MIGRATIONS.length; next++) {
        sql.exec(MIGRATIONS[next] ?? '');
        sql.pragma(`user_version = ${next + 1}`);
      }
      sql.pragma(`application_id = ${APPLICATION_ID}`);
    });
  } finally {
    lock?.release();
  }
}
