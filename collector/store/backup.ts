import {
  closeSync,
  existsSync,
  fsyncSync,
  openSync,
  readdirSync,
  renameSync,
  rmdirSync,
  rmSync,
  statSync,
} from 'node:fs';
import { copyFile } from 'node:fs/promises';
import { dirname, join, resolve } from 'node:path';
import { AppError } from '../contract/errors.ts';
import { forgetCommits } from './commit-mark.ts';
import { DamageTable } from './damage.ts';
import { makeFolder, openDatabase, STORE_FILE } from './database.ts';
import { MIGRATIONS } from './migrations.ts';
import { takeServiceLock } from './service-lock.ts';
import { setAsideSpans } from './set-aside.ts';
import { setAsideUnmet } from './set-aside-unmet.ts';
import type { Sql } from './sql.ts';
import { storeFault } from './sqlite-fault.ts';
import type { DamagedSpan } from './stored-readings.ts';
import { type Verified, verifySql } from './verify.ts';

export interface BackupOutcome {
  readonly bytes: number;
  readonly verified: Verified;
}

/**
 * Copies the store of a data folder, also while a service writes to it: one state of it, whole, into one file. The file has
 * its name only once it is complete, checked and on disk. What is damaged is set aside in the copy and noted in the store.
 *
 * @param out must not be there yet
 * @throws {AppError} USAGE where `out` is there already, or its folder is not; STORE_UNUSABLE: no store, damaged, or not writable; DISK_FULL
 */
export function backupStore(dir: string, out: string): BackupOutcome {
  if (existsSync(out)) throw new AppError('USAGE', `--out ${out}: is there already; give a name that is free`);
  const folder = dirname(resolve(out));
  if (!existsSync(folder)) throw new AppError('USAGE', `--out ${out}: found no folder ${folder}, expected one`);
  const part = `${out}.part`;
  try {
    rmSync(part, { force: true });
    return copyStore(dir, part, out);
  } catch (error) {
    throw storeFault(error, `--out ${out}`);
  }
}

function copyStore(dir: string, part: string, out: string): BackupOutcome {
  // As it is: an older version is copied, not changed.
  const source = openDatabase(dir, { asIs: true });
  try {
    source.run('VACUUM INTO ?', part);
    const verified = verifiedCopy(source, part);
    toDisk(part, out);
    return { bytes: statSync(out).size, verified };
  } catch (error) {
    throw faultOfCopy(error, out);
  } finally {
    source.close();
    rmSync(part, { force: true });
  }
}

/**
 * Checks a copy. Damage that nobody has met yet is set aside in it, and noted in the store that it was made of, whose service tells of it and sets it aside at its
 * next start.
 *
 * @throws {AppError} STORE_UNUSABLE where the copy is not whole after that either
 */
function verifiedCopy(source: Sql, part: string): Verified {
  const verified = checkFile(part);
  if (verified.faults.length === 0) return verified;
  // An older schema is copied as it is: what could be set aside in it is brought up to date first, by whoever may write to the store.
  if (verified.schemaVersion !== MIGRATIONS.length)
    throw new AppError(
      'STORE_UNUSABLE',
      `${part}: is damaged: ${verified.faults.slice(0, 3).join('; ')}; the store is of an earlier version (${verified.schemaVersion}): run “driftline compact” on it, or start its service, and then backup`,
    );
  const sql = openDatabase(dirname(part), { file: part, asIs: true });
  let met: DamagedSpan[] = [];
  try {
    setAsideUnmet(sql);
    met = setAsideSpans(sql);
    // One file again: what is beside it would not be renamed with it.
    sql.pragma('journal_mode = DELETE');
  } finally {
    sql.close();
  }
  source.write(() => new DamageTable(source).note(met));
  return verifyFile(part);
}

/** What keeps the copy from being written is told of the copy: the store's own disk may have all the room. */
function faultOfCopy(error: unknown, out: string): unknown {
  const cause = error instanceof AppError ? error.cause : undefined;
  const code = cause instanceof Error && 'code' in cause ? String(cause.code) : '';
  return /^SQLITE_(FULL|IOERR|CANTOPEN|READONLY|PERM)/.test(code) ? storeFault(cause, `--out ${out}`) : error;
}

/**
 * Makes a data folder's store out of a backup. A store that is there stays as it is.
 *
 * @throws {AppError} USAGE: the backup is damaged or none, or the folder has a store; STORE_UNUSABLE: a service runs on it; DISK_FULL
 */
export async function restoreStore(file: string, dir: string): Promise<BackupOutcome> {
  if (!existsSync(file)) throw new AppError('USAGE', `--from ${file}: found no such file, expected a backup`);
  if (!statSync(file).isFile()) throw new AppError('USAGE', `--from ${file}: found no file, expected a backup`);
  const target = join(dir, STORE_FILE);
  const refuse = (): void => {
    if (existsSync(target))
      throw new AppError('USAGE', `--data ${dir}: holds a store already; nothing was overwritten, give another folder`);
  };
  refuse();
  const made = makeFolder(dir);
  const lock = takeServiceLock(dir);
  const part = `${target}.part`;
  let restored = false;
  try {
    refuse();
    await copyFile(file, part);
    const verified = verifyCopy(part, file);
    // Left behind by a store that was taken away by hand, they would be taken for this one's.
    for (const rest of ['-wal', '-shm']) rmSync(`${target}${rest}`, { force: true });
    forgetCommits(dir);
    toDisk(part, target);
    restored = true;
    return { bytes: statSync(target).size, verified };
  } catch (error) {
    throw storeFault(error, dir);
  } finally {
    rmSync(part, { force: true });
    if (restored) lock.release();
    else {
      lock.withdraw();
      takeAway(made);
    }
  }
}

/** Folders that were made for nothing, unless somebody has put something there meanwhile. */
function takeAway(made: readonly string[]): void {
  for (const dir of made.toReversed()) if (readdirSync(dir).length === 0) rmdirSync(dir);
}

/** @throws {AppError} STORE_UNUSABLE when the file is no store, or not whole */
function verifyFile(file: string): Verified {
  const verified = checkFile(file);
  if (verified.faults.length > 0)
    throw new AppError('STORE_UNUSABLE', `${file}: is damaged: ${verified.faults.slice(0, 3).join('; ')}`);
  return verified;
}

function checkFile(file: string): Verified {
  const sql = openDatabase(dirname(file), { file, asIs: true, readOnly: true });
  try {
    return verifySql(sql);
  } finally {
    sql.close();
  }
}

/** The same of a copy, told of the backup that was given: it is that which is damaged, not the folder. */
function verifyCopy(part: string, backup: string): Verified {
  try {
    return verifyFile(part);
  } catch (error) {
    const fault = storeFault(error, backup);
    if (!(fault instanceof AppError) || fault.code !== 'STORE_UNUSABLE') throw fault;
    const [why = ''] = fault.message.replace(`${part}: `, '').replace(`${backup}: `, '').split('; ');
    throw new AppError('USAGE', `--from ${backup}: ${why}; give another backup`, { cause: error });
  }
}

/** Gives a complete file its name, so that a power cut leaves the whole file or none. */
function toDisk(part: string, name: string): void {
  sync(part, 'r+');
  renameSync(part, name);
  sync(dirname(resolve(name)), 'r');
}

function sync(path: string, flags: string): void {
  const handle = openSync(path, flags);
  try {
    fsyncSync(handle);
  } finally {
    closeSync(handle);
  }
}
