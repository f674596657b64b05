import { closeSync, fsyncSync, openSync, renameSync, rmSync, writeSync } from 'node:fs';
import process from 'node:process';
import { AppError } from '../collector/contract/index.ts';

/**
 * Writes a file that has its name only once it is whole; one that was there before stays until then.
 *
 * @throws {AppError} USAGE: it cannot be written there; DISK_FULL
 */
export function writeWhole(file: string, pieces: Iterable<string | Uint8Array>): void {
  const part = `${file}.part-${process.pid}`;
  try {
    const handle = openSync(part, 'wx');
    try {
      for (const piece of pieces) writeSync(handle, Buffer.from(piece as string));
      fsyncSync(handle);
    } finally {
      closeSync(handle);
    }
    renameSync(part, file);
  } catch (error) {
    rmSync(part, { force: true });
    const { code } = error as NodeJS.ErrnoException;
    if (code === 'ENOSPC')
      throw new AppError('DISK_FULL', `${file}: the disk is full; nothing was written`, { cause: error });
    if (code !== undefined && /^(ENOENT|EACCES|EISDIR|ENOTDIR|EROFS|EPERM|ENOTEMPTY)$/.test(code))
      throw new AppError(
        'USAGE',
        `--out: ${file}: cannot be written (${code}), expected a file in a folder that is there`,
        { cause: error },
      );
    throw error;
  }
}
