import type { Block } from './block.ts';
import { type ChunkRow, unpackChunks } from './chunk-table.ts';
import { DamageTable, refuseDamaged } from './damage.ts';
import { chunkFault, chunkSpan } from './set-aside.ts';
import type { Sql } from './sql.ts';
import type { DamagedKind, DamagedSpan } from './stored-readings.ts';

/** What becomes of a read that meets something damaged: it is refused, or goes on without it, and writes it down. */
export type DamagedReadings = 'refused' | 'left out' | 'noted';

/** What is damaged, as the reads of one connection meet it. */
export class MetDamage {
  readonly #sql: Sql;
  readonly #mode: DamagedReadings;
  readonly #table: DamageTable;
  /** What reads have met, by what it is called. */
  readonly #met = new Map<string, DamagedSpan>();
  #unnoted: DamagedSpan[] = [];

  constructor(sql: Sql, mode: DamagedReadings) {
    this.#sql = sql;
    this.#mode = mode;
    this.#table = new DamageTable(sql);
  }

  /** Reads, and notes behind that what is damaged. */
  reading<T>(body: () => T): T {
    const result = this.#sql.read(body);
    if (this.#unnoted.length > 0 && this.#mode === 'noted') {
      this.#sql.write(() => this.#table.note(this.#unnoted));
      // They are in the table from now on, and leave it there.
      for (const { what } of this.#unnoted) this.#met.delete(what);
      this.#unnoted = [];
    }
    return result;
  }

  /** All that is known to be damaged. @param ofTail what the tail has met */
  list(
    ofTail: readonly DamagedSpan[],
    { station, from, to, kinds }: { station: string | null; from: number; to: number; kinds: readonly DamagedKind[] },
  ): DamagedSpan[] {
    const all = new Map<string, DamagedSpan>();
    for (const span of [...this.#table.list(station, kinds), ...ofTail, ...this.#met.values()])
      if (
        kinds.includes(span.kind) &&
        (station === null || span.station === station) &&
        span.to >= from &&
        span.from < to
      )
        all.set(`${span.what} ${span.station}`, span);
    return [...all.values()];
  }

  /** @throws {AppError} READINGS_DAMAGED where some of the span are, and they are not left out */
  refuse(ofTail: readonly DamagedSpan[], kind: DamagedKind, station: string, from: number, to: number): void {
    if (this.#mode === 'refused') refuseDamaged(this.list(ofTail, { station, from, to, kinds: [kind] }));
  }

  /**
   * Unpacks chunks, without those that are damaged where these are left out.
   *
   * @throws {AppError} READINGS_DAMAGED, which names the first that is damaged
   */
  unpack(station: string, chunks: readonly ChunkRow[], wanted: number): Block {
    try {
      return unpackChunks(chunks, wanted);
    } catch {
      const sound = this.sound(chunks, chunkFault, (chunk, fault) => chunkSpan(station, chunk, fault));
      return unpackChunks(sound, wanted);
    }
  }

  /**
   * Rows without those that are damaged.
   *
   * @param faultIn how one is damaged; null where it is not
   * @param spanOf what is missing with it
   * @throws {AppError} READINGS_DAMAGED, which names the first, where they are refused
   */
  sound<Row>(
    rows: readonly Row[],
    faultIn: (row: Row) => string | null,
    spanOf: (row: Row, fault: string) => DamagedSpan,
  ): Row[] {
    return rows.filter((row) => {
      const fault = faultIn(row);
      if (fault === null) return true;
      const span = spanOf(row, fault);
      if (this.#mode === 'refused') refuseDamaged([span]);
      if (!this.#met.has(span.what)) this.#unnoted.push(span);
      this.#met.set(span.what, span);
      return false;
    });
  }
}
