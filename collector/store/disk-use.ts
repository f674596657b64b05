import { statfsSync } from 'node:fs';
import { dirname } from 'node:path';
import type { Sql } from './sql.ts';

/** Samples older than this are let go of, ms. Source: own choice: three of the spans that a forecast looks at. */
const KEPT_MS = 90 * 86_400_000;

/** Room on the disk at one time, bytes. */
export interface DiskSample {
  /** Epoch ms. */
  readonly at: number;
  /** What the store needs: its pages in use. */
  readonly usedBytes: number;
  /** What it can still get: free room on the disk, and free pages within its file. */
  readonly freeBytes: number;
}

export interface DiskUse {
  /** The disk as it is now. */
  measure(now: number): DiskSample;
  /** Keeps a sample for the forecast. */
  add(sample: DiskSample): void;
  /** Samples from a time on, ascending. */
  list(from: number): DiskSample[];
}

/** How much room the store took over time, as a table. */
export class EmbeddedDiskUse implements DiskUse {
  readonly #sql: Sql;

  constructor(sql: Sql) {
    this.#sql = sql;
  }

  measure(now: number): DiskSample {
    const [pages, free, size] = ['page_count', 'freelist_count', 'page_size'].map((name) =>
      Number(this.#sql.pragma(name)),
    );
    const { bavail, bsize } = statfsSync(dirname(this.#sql.file));
    return { at: now, usedBytes: (pages! - free!) * size!, freeBytes: bavail * bsize + free! * size! };
  }

  add({ at, usedBytes, freeBytes }: DiskSample): void {
    this.#sql.write(() => {
      this.#sql.run(
        'INSERT OR REPLACE INTO disk_use (at, store_bytes, free_bytes) VALUES (?, ?, ?)',
        at,
        usedBytes,
        freeBytes,
      );
      this.#sql.run('DELETE FROM disk_use WHERE at < ?', at - KEPT_MS);
    });
  }

  list(from: number): DiskSample[] {
    return this.#sql.all(
      'SELECT at, store_bytes AS usedBytes, free_bytes AS freeBytes FROM disk_use WHERE at >= ? ORDER BY at',
      from,
    );
  }
}
