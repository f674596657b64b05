import { existsSync, mkdirSync, readdirSync, rmSync, statSync } from 'node:fs';
import { open, statfs } from 'node:fs/promises';
import { join } from 'node:path';
import type { Readable } from 'node:stream';
import { AppError } from '../contract/index.ts';

/** Room that stays free for readings that come in live, bytes. Source: own choice, a day of a large hall. */
const SPARE_BYTES = 268_435_456;

/** Files that people gave to the service, until it has no more use for them. */
export class Uploads {
  readonly #folder: string;

  /** @param folder within the data folder */
  constructor(dir: string, folder = 'imports') {
    this.#folder = join(dir, folder);
    mkdirSync(this.#folder, { recursive: true });
  }

  path(id: string): string {
    return join(this.#folder, id);
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
   * Adds bytes at the end of a file. What came before the connection broke stays.
   *
   * @throws {AppError} BODY_TOO_LARGE: more than `most`
   */
  async append(id: string, from: Readable, most: number): Promise<void> {
    const file = await open(this.path(id), 'a');
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
