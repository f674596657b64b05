import { constants, existsSync, mkdirSync, readdirSync, rmSync, statSync, writeFileSync } from 'node:fs';
import { type FileHandle, open, statfs } from 'node:fs/promises';
import { join } from 'node:path';
import type { Readable } from 'node:stream';
import { AppError } from '../contract/index.ts';

/** Room that stays free for readings that come in live, bytes. Source: own choice, a day of a large hall. */
const SPARE_BYTES = 268_435_456;

/** A file that arrives in pieces. */
export interface Arriving {
  readonly id: string;
  /** As the sender's machine calls it. */
  readonly file: string;
  /** Of the whole. */
  readonly bytes: number;
}

/** Files that people gave to the service, until it has no more use for them. */
export class Uploads {
  readonly #folder: string;
  readonly #appending = new Set<string>();

  /** @param folder within the data folder */
  constructor(dir: string, folder = 'imports') {
    this.#folder = join(dir, folder);
    mkdirSync(this.#folder, { recursive: true });
  }

  path(id: string): string {
    return join(this.#folder, id);
  }

  /** Makes room for a file of which nothing is here. */
  create(id: string): void {
    writeFileSync(this.path(id), '');
  }

  /** Bytes of it that are here. */
  size(id: string): number {
    return existsSync(this.path(id)) ? statSync(this.path(id)).size : 0;
  }

  /** @throws {AppError} DISK_FULL: so many bytes would leave too little room */
  async checkRoom(bytes: number): Promise<void> {
    const { bavail, bsize } = await statfs(this.#folder);
    const free = bavail * bsize;
    if (free < bytes + SPARE_BYTES)
      throw new AppError(
        'DISK_FULL',
        `the disk has ${free} bytes left, and the file has ${bytes}: too few would stay free`,
      );
  }

  /**
   * Adds the next piece of a file. What came before the connection broke stays.
   *
   * @param offset bytes that the sender takes to be here
   * @param mostBytes longest piece
   * @throws {AppError} EDITED_MEANWHILE: other bytes are here, or another piece is on its way; BODY_TOO_LARGE: more than a piece or the file may have;
   *   NOT_FOUND: it was let go meanwhile
   */
  async append(arriving: Arriving, offset: number, from: Readable, mostBytes: number): Promise<void> {
    const { id, bytes } = arriving;
    const received = this.size(id);
    if (offset !== received || this.#appending.has(id)) throw this.misplaced(arriving, offset);
    this.#appending.add(id);
    try {
      await this.#write(arriving, from, Math.min(mostBytes, bytes - received));
    } finally {
      this.#appending.delete(id);
    }
  }

  /** The refusal of a piece that is not the next. */
  misplaced({ id, file, bytes }: Arriving, offset: number): AppError {
    return new AppError(
      'EDITED_MEANWHILE',
      `${file}: ${this.size(id)} bytes of ${bytes} are here, found an offset of ${offset}`,
    );
  }

  /** Never makes the file anew: one that was let go while its piece waited would lie there for good. */
  #opened({ id, file }: Arriving): Promise<FileHandle> {
    return open(this.path(id), constants.O_WRONLY | constants.O_APPEND).catch((error: NodeJS.ErrnoException) => {
      if (error.code !== 'ENOENT') throw error;
      throw new AppError(
        'NOT_FOUND',
        `${file}: it was let go while a piece of it was on its way; begin to send it anew`,
      );
    });
  }

  async #write(arriving: Arriving, from: Readable, most: number): Promise<void> {
    const file = await this.#opened(arriving);
    try {
      let left = most;
      // What is too long is left unread: whoever sends it still has to hear why.
      for await (const chunk of from.iterator({ destroyOnReturn: false }) as AsyncIterable<Buffer>) {
        left -= chunk.length;
        if (left < 0) throw new AppError('BODY_TOO_LARGE', `the body is longer than ${most} bytes`);
        await file.writeFile(chunk);
      }
    } finally {
      await file.close();
    }
  }

  delete(id: string): void {
    rmSync(this.path(id), { force: true });
  }

  /** Takes away files that no record speaks of. */
  sweep(known: ReadonlySet<string>): void {
    for (const name of readdirSync(this.#folder)) if (!known.has(name)) this.delete(name);
  }
}
