import { closeSync, fstatSync, openSync, writeSync } from 'node:fs';
import type { Sql } from './sql.ts';

/** Header of the log, and bytes of one of its frames. Source: sqlite.org/fileformat2.html section 4.1, pages of 4096 bytes. */
const HEAD_BYTES = 32;
const FRAME_BYTES = 24 + 4096;
/** Written ahead at a time, and what is left when it is time again. Source: own choice: some 70 commits of half a hundred packs, and a millisecond. */
const PIECE_BYTES = 1024 * 1024;
const LEFT_BYTES = PIECE_BYTES / 2;

/**
 * Room in the write-ahead log for the commits that come. A sync of bytes that lie within a file waits for these alone; where the file
 * grows it waits for the file system's journal too. What lies behind the last commit is no part of the log, as after each of its rounds:
 * only frames count whose salts and checksums fit (sqlite.org/fileformat2.html section 4.2).
 */
export class WalRoom {
  readonly #sql: Sql;
  readonly #mostBytes: number;
  #bytes = 0;
  /** How much of the log was used when there was no room for more; null while there is. */
  #fullAt: number | null = null;

  /** @param mostPages length of the log, in pages, up to which room is made */
  constructor(sql: Sql, mostPages: number) {
    this.#sql = sql;
    this.#mostBytes = HEAD_BYTES + mostPages * FRAME_BYTES;
  }

  /**
   * Looks whether there is room.
   *
   * @param pages in the log so far
   * @throws {Error} the log cannot be written; on a full disk it is left to grow by itself
   */
  look(pages: number): void {
    const used = HEAD_BYTES + pages * FRAME_BYTES;
    // The log has begun anew since: the disk may have room again.
    if (this.#fullAt !== null && used < this.#fullAt) this.#fullAt = null;
    if (this.#fullAt !== null || used + LEFT_BYTES <= this.#bytes || used >= this.#mostBytes) return;
    // No other program may write to the log's end meanwhile.
    this.#sql.write(() => this.#grow(used));
  }

  #grow(used: number): void {
    const file = openSync(`${this.#sql.file}-wal`, 'r+');
    try {
      this.#bytes = fstatSync(file).size;
      if (used + LEFT_BYTES > this.#bytes)
        this.#bytes += writeSync(file, new Uint8Array(PIECE_BYTES), 0, PIECE_BYTES, this.#bytes);
    } catch (error) {
      if (!['ENOSPC', 'EDQUOT'].includes((error as NodeJS.ErrnoException).code ?? '')) throw error;
      this.#fullAt = used;
    } finally {
      closeSync(file);
    }
  }
}
