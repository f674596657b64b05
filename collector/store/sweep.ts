import { absorb } from './absorb.ts';
import { headsOf } from './batch.ts';
import { keepUnsent } from './historian-outbox.ts';
import { SectionLists, type StationSections } from './section-lists.ts';
import { setAsideBatch } from './set-aside.ts';
import type { Sql } from './sql.ts';
import type { DamagedSpan } from './stored-readings.ts';

/** Bytes of the tail that one sweep takes at most: what it holds in memory. Source: own choice. */
const SWEEP_BYTES = 32 * 1024 * 1024;

/** Bytes of the tail that one step reads, and batches that one lets go of. Source: own choice: measured, about a ms each. */
const READ_BYTES = 256 * 1024;
const FREED_BATCHES = 16;

/** What opening a station's last chunk again is worth, in readings. Source: own choice: measured, some tenths of a ms. */
const STATION_READINGS = 2000;

/** A station's part of the tail, and how many of its sections are in chunks by now. */
interface Waiting {
  readonly name: string;
  readonly sections: StationSections;
  readonly from: number;
}

/**
 * One sweep turns the tail, as it is when the sweep starts, into chunks in small steps, so that commits get their turn in
 * between: it reads the batches, then deals with some stations at a time, and at the end lets go of the batches. It
 * may stop anywhere and be begun anew, also after a crash: what is done is in each station's row.
 */
export class Sweep {
  readonly #sql: Sql;
  readonly #onDamaged: (spans: readonly DamagedSpan[]) => void;
  /** Batches that are to be read, last one first. */
  readonly #unread: { seq: number; size: number }[];
  readonly #upTo: number;
  readonly #sections = new SectionLists();
  #waiting: Waiting[] | null = null;
  /** The historian's outbox knows what is let go of. */
  #told = false;

  /** @param onDamaged told what is missing with a batch that had to be set aside */
  constructor(sql: Sql, onDamaged: (spans: readonly DamagedSpan[]) => void = () => undefined) {
    this.#sql = sql;
    this.#onDamaged = onDamaged;
    const batches = sql.all<{ seq: number; size: number }>('SELECT seq, length(body) AS size FROM batch ORDER BY seq');
    let bytes = 0;
    const end = batches.findIndex(({ size }, index) => {
      bytes += size;
      return index > 0 && bytes > SWEEP_BYTES;
    });
    this.#unread = (end < 0 ? batches : batches.slice(0, end)).reverse();
    this.#upTo = this.#unread[0]?.seq ?? 0;
  }

  /** How many stations it has to do with, once all is read. */
  get stations(): number {
    return this.#sections.size;
  }

  /**
   * Goes on for about this many readings.
   *
   * @returns true when the sweep is done
   */
  step(readings: number): boolean {
    if (this.#unread.length > 0) {
      this.#read(READ_BYTES);
      return false;
    }
    this.#waiting ??= Array.from(this.#sections.stations, (name) => ({
      name,
      sections: this.#sections.of(name),
      from: 0,
    }));
    return this.#sql.write(() => this.#move(this.#waiting!, readings));
  }

  #read(most: number): void {
    for (let bytes = 0; bytes < most; ) {
      const next = this.#unread.pop();
      if (!next) return;
      bytes += next.size;
      const batch = this.#sql.get<{ body: Uint8Array }>('SELECT body FROM batch WHERE seq = ?', next.seq);
      if (!batch) continue;
      const read = headsOf(next.seq, batch.body);
      // Out of the way, or nothing would ever become chunks again.
      if (read === null) this.#onDamaged(setAsideBatch(this.#sql, next.seq, batch.body));
      else this.#sections.add(read.batch, read.heads);
    }
  }

  #move(waiting: Waiting[], readings: number): boolean {
    for (let left = readings; left > 0; ) {
      const next = waiting.pop();
      if (next) left -= STATION_READINGS + this.#absorb(waiting, next, readings);
      // All stations have come up to here: whoever reads passes over these batches already.
      else return this.#free(Math.max(1, Math.round(left / STATION_READINGS)) * FREED_BATCHES);
    }
    return false;
  }

  /** @returns true when no batch is left */
  #free(batches: number): boolean {
    if (!this.#told) keepUnsent(this.#sql, this.#sections);
    this.#told = true;
    const { changes } = this.#sql.run(
      'DELETE FROM batch WHERE seq IN (SELECT seq FROM batch WHERE seq <= ? ORDER BY seq LIMIT ?)',
      this.#upTo,
      Number.isFinite(batches) ? batches : -1,
    );
    return Number.isFinite(batches) ? changes < batches : true;
  }

  /** @returns how many readings it has dealt with: all of the station's, or the first of them when they are too many */
  #absorb(waiting: Waiting[], { name, sections, from }: Waiting, limit: number): number {
    const done = this.#sql.get<{ seq: number }>('SELECT chunked_to AS seq FROM station WHERE name = ?', name)?.seq ?? 0;
    // One that floods has tens of thousands: they are copied no more than once.
    let first = from;
    while (first < sections.length && sections.seqAt(first) <= done) first++;
    let readings = 0;
    let end = first;
    // Never a part of a batch: a station's row says up to which of them it has come.
    while (end < sections.length && (readings < limit || (end > 0 && sections.seqAt(end) === sections.seqAt(end - 1))))
      readings += sections.readingsAt(end++);
    const isLast = end === sections.length;
    if (!isLast) waiting.push({ name, sections, from: end });
    if (end > first) absorb(this.#sql, name, sections.slice(first, end), isLast ? this.#upTo : sections.seqAt(end - 1));
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
