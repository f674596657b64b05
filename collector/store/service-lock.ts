import { existsSync, rmSync } from 'node:fs';
import { join } from 'node:path';
import Database from 'better-sqlite3';
import { AppError } from '../contract/errors.ts';
import { storeFault } from './sqlite-fault.ts';

/** Faults lose their cause on the way from the writer's thread. */
const TAKEN = 'another driftline service is running on this folder';

export interface ServiceLock {
  release(): void;
  /** The same, and takes the lock's file away where taking the lock had made it: the folder is to be as it was. */
  withdraw(): void;
}

/** Whether a fault of `startWriter` or `takeServiceLock` means that another process writes the folder's readings. */
export function isTaken(error: unknown): boolean {
  return error instanceof AppError && error.code === 'STORE_UNUSABLE' && error.message.includes(TAKEN);
}

/**
 * Takes the folder for one process that writes readings, until it is released or the process ends in whatever way.
 *
 * The lock is SQLite's own on an empty database beside the store: the operating system lets go of it when
 * a process is killed, so nothing is left behind to clean up.
 *
 * @throws {AppError} STORE_UNUSABLE when another process has it, or the folder cannot be written
 */
export function takeServiceLock(dir: string): ServiceLock {
  const file = join(dir, 'service.lock');
  const wasThere = existsSync(file);
  let database: Database.Database | null = null;
  try {
    database = new Database(file, { timeout: 0 });
    database.exec('BEGIN EXCLUSIVE');
  } catch (error) {
    database?.close();
    if (error instanceof Database.SqliteError && error.code.startsWith('SQLITE_BUSY'))
      throw new AppError('STORE_UNUSABLE', `${dir}: ${TAKEN}; stop it or give another folder`, { cause: error });
    throw storeFault(error, file);
  }
  const held = database;
  const release = (): void => {
    if (held.open) held.close();
  };
  return {
    release,
    withdraw() {
      // While it is held, so that nobody holds a file that has just gone.
      if (!wasThere) for (const rest of ['', '-journal']) rmSync(`${file}${rest}`, { force: true });
      release();
    },
  };
}
