import { absorb } from './absorb.ts';
import { type Section, sectionsOf } from './batch.ts';
import type { Sql } from './sql.ts';

/** Bytes of the tail that one sweep takes at most: what it holds in memory. Source: own choice. */
const SWEEP_BYTES = 32 * 1024 * 1024;

/**
 * One sweep turns the tail, as it is when the sweep starts, into chunks: some stations at a time, so that
 * commits get their turn in between, and at the end lets go of the batches. It may stop anywhere and be begun
 * anew, also after a crash: what is done is in each station's row.
 */
export class Sweep {
  readonly #sql: Sql;
  readonly #upTo: number;
  readonly #waiting: [string, Section[]][];
  /** How many stations it has to do with. */
  readonly stations: number;

  constructor(sql: Sql) {
    this.#sql = sql;
    const stations = new Map<string, Section[]>();
    let bytes = 0;
    let upTo = 0;
    sql.read(() => {
      for (const { seq, size } of sql.all<{ seq: number; size: number }>(
        'SELECT seq, length(body) AS size FROM batch ORDER BY seq',
      )) {
        if (bytes > 0 && bytes + size > SWEEP_BYTES) break;
        bytes += size;
        upTo = seq;
        const batch = sql.get<{ body: Uint8Array }>('SELECT body FROM batch WHERE seq = ?', seq);
        for (const section of batch ? sectionsOf(seq, batch.body) : []) {
          const sections = stations.get(section.station);
          if (sections) sections.push(section);
          else stations.set(section.station, [section]);
        }
      }
    });
    this.#upTo = upTo;
    this.#waiting = [...stations];
    this.stations = stations.size;
  }

  /**
   * Goes on for about this many readings.
   *
   * @returns true when the sweep is done
   */
  step(readings: number): boolean {
    const sql = this.#sql;
    // What is moved here is still in the tail on disk until a later commit is synced: this need not wait for the disk.
    sql.pragma('synchronous = NORMAL');
    try {
      return sql.write(() => {
        let left = readings;
        while (left > 0) {
          const next = this.#waiting.pop();
          if (!next) {
            sql.run('DELETE FROM batch WHERE seq <= ?', this.#upTo);
            return true;
          }
          left -= this.#absorb(...next);
        }
        return false;
      });
    } finally {
      sql.pragma('synchronous = FULL');
    }
  }

  #absorb(name: string, sections: readonly Section[]): number {
    const done = this.#sql.get<{ seq: number }>('SELECT chunked_to AS seq FROM station WHERE name = ?', name)?.seq ?? 0;
    const open = sections.filter((section) => section.seq > done);
    if (open.length > 0) absorb(this.#sql, name, open, this.#upTo);
    return sections.reduce((sum, section) => sum + section.readings, 0);
  }
}

/** Turns all of the tail into chunks. */
export function sweepAll(sql: Sql): void {
  while (sql.get('SELECT seq FROM batch LIMIT 1')) {
    const sweep = new Sweep(sql);
    while (!sweep.step(Number.POSITIVE_INFINITY));
  }
}
