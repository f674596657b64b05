import type { Block } from './block.ts';
import { type ChunkRow, unpackChunks } from './chunk-table.ts';
import { DamageTable, refuseDamaged } from './damage.ts';
import { chunkFault, chunkSpan } from './set-aside.ts';
import type { Sql } from './sql.ts';
import type { DamagedSpan } from './stored-readings.ts';

/** What becomes of a read that meets damaged readings: it is refused, or goes on without them, and writes them down. */
export type DamagedReadings = 'refused' | 'left out' | 'noted';

/** Damaged readings as the reads of one connection meet them. */
export class MetDamage {
  readonly #sql: Sql;
  readonly #mode: DamagedReadings;
  readonly #table: DamageTable;
  /** Chunks that are damaged, by what they are called. */
  readonly #chunks = new Map<string, DamagedSpan>();
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
      this.#unnoted = [];
    }
    return result;
  }

  /** All that is known to be damaged. @param ofTail what the tail has met */
  list(ofTail: readonly DamagedSpan[], station: string | null, from: number, to: number): DamagedSpan[] {
    const all = new Map<string, DamagedSpan>();
    for (const span of [...this.#table.list(station), ...ofTail, ...this.#chunks.values()])
      if ((station === null || span.station === station) && span.to >= from && span.from < to)
        all.set(`${span.what} ${span.station}`, span);
    return [...all.values()];
  }

  /** @throws {AppError} READINGS_DAMAGED where some of the span are, and they are not left out */
  refuse(ofTail: readonly DamagedSpan[], station: string, from: number, to: number): void {
    if (this.#mode === 'refused') refuseDamaged(this.list(ofTail, station, from, to));
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
      const sound = chunks.filter((chunk) => this.#isSound(station, chunk));
      return unpackChunks(sound, wanted);
    }
  }

  #isSound(station: string, chunk: ChunkRow): boolean {
    const fault = chunkFault(chunk);
    if (fault === null) return true;
    const span = chunkSpan(station, chunk, fault);
    if (this.#mode === 'refused') refuseDamaged([span]);
    if (!this.#chunks.has(span.what)) this.#unnoted.push(span);
    this.#chunks.set(span.what, span);
    return false;
  }
}
