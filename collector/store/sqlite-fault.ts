import { AppError } from '../contract/errors.ts';

const FULL = new Set(['SQLITE_FULL', 'SQLITE_IOERR_SHMSIZE', 'ENOSPC']);
const CORRUPT = /^SQLITE_(CORRUPT|NOTADB)/;
const BUSY = /^SQLITE_(BUSY|LOCKED)/;
const NO_ACCESS =
  /^(SQLITE_(CANTOPEN|READONLY|PERM|IOERR)|EACCES|EPERM|EROFS|ENOTDIR|EEXIST|ENOENT|ELOOP|ENAMETOOLONG|EIO)/;

/**
 * What a fault of SQLite or of the file system means to the person who runs the service.
 *
 * @param error as thrown by better-sqlite3 or node:fs
 * @param file the file or folder that was worked on, for the message
 * @returns an AppError with the fault as its cause; anything that is neither's fault is returned as it is
 */
export function storeFault(error: unknown, file: string): unknown {
  if (error instanceof AppError || !(error instanceof Error) || !('code' in error)) return error;
  const code = String(error.code);
  const options = { cause: error };
  if (FULL.has(code))
    return new AppError(
      'DISK_FULL',
      `${file}: the disk is full, nothing of this was written; free some space`,
      options,
    );
  if (CORRUPT.test(code))
    return new AppError(
      'STORE_UNUSABLE',
      `${file}: is damaged or no SQLite database (${error.message}); restore it from a backup or give another folder`,
      options,
    );
  if (BUSY.test(code))
    return new AppError('STORE_LOCKED', `${file}: another program kept it locked for too long; try again`, options);
  if (NO_ACCESS.test(code))
    return new AppError(
      'STORE_UNUSABLE',
      `${file}: cannot be read and written (${error.message}); give a folder that this user may write to`,
      options,
    );
  return error;
}
