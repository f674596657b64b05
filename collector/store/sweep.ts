import { absorb } from './absorb.ts';
import { type Section, sectionsOf } from './batch.ts';
import type { Sql } from './sql.ts';

/** Bytes of the tail that one sweep takes at most: what it holds in memory. Source: own choice. */
const SWEEP_BYTES = 32 * 1024 * 1024;

/** What opening a station's last chunk again is worth, in readings. Source: own choice: measured, some tenths of a ms. */
const STATION_READINGS = 2000;

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
        for (let left = readings; left > 0; ) {
          const next = this.#waiting.pop();
          if (!next) {
            sql.run('DELETE FROM batch WHERE seq <= ?', this.#upTo);
            return true;
          }
          left -= STATION_READINGS + this.#absorb(...next, readings);
        }
        return false;
      });
    } finally {
      sql.pragma('synchronous = FULL');
    }
  }

  /** @returns how many readings it has dealt with: all of the station's, or the first of them when they are too many */
  #absorb(name: string, sections: readonly Section[], limit: number): number {
    const done = this.#sql.get<{ seq: number }>('SELECT chunked_to AS seq FROM station WHERE name = ?', name)?.seq ?? 0;
    const open = sections.filter((section) => section.seq > done);
    let readings = 0;
    let end = 0;
    // Never a part of a batch: a station's row says up to which of them it has come.
    while (end < open.length && (readings < limit || open[end]?.seq === open[end - 1]?.seq))
      readings += open[end++]?.readings ?? 0;
    const rest = open.slice(end);
    if (rest.length > 0) this.#waiting.push([name, rest]);
    if (end > 0) absorb(this.#sql, name, open.slice(0, end), rest.length > 0 ? open[end - 1]!.seq : this.#upTo);
    return readings;
  }
}

/** Turns all of the tail into chunks. */
export function sweepAll(sql: Sql): void {
  while (sql.get('SELECT seq FROM batch LIMIT 1')) {
    const sweep = new Sweep(sql);
    while (!sweep.step(Number.POSITIVE_INFINITY));
  }
}
