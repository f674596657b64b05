import { APART_SQL } from './apart.ts';
import { LARGEST_TIME } from './batch.ts';
import { ALL_CHANNELS, type ChunkRow, chunkKey, deleteChunk, unpackChunks } from './chunk-table.ts';
import type { RetentionRules } from './retention-rules.ts';
import { noteRunsFrom } from './runs-from.ts';
import { soundChunks } from './set-aside.ts';
import type { Sql } from './sql.ts';
import { EmbeddedStates } from './states.ts';
import { thinRows } from './thinned.ts';
import { dayOf } from './thinned-day.ts';

const DAY_MS = 86_400_000;

/** Chunks that one transaction takes away. Source: own choice: measured, some forty milliseconds. */
const CHUNKS_A_STEP = 8;

/**
 * Takes away what is older than it has to be kept, some at a time: raw readings become thinned ones (least, largest, mean,
 * count of each span), thinned readings and runs go. Age is counted back from the newest reading of all stations, or from
 * now where that is earlier: a history that was brought in is not old by itself. Readings that the historian has not
 * got stay.
 */
export class Retention {
  readonly #sql: Sql;
  readonly #rules: RetentionRules;
  readonly #reference: number;
  readonly #stations: { readonly id: number; readonly name: string }[];

  /** @param now wall clock, epoch ms */
  constructor(sql: Sql, rules: RetentionRules, now: number) {
    this.#sql = sql;
    this.#rules = rules;
    const newest = sql.get<{ last: number | null }>('SELECT max(last_ms) AS last FROM station')?.last ?? now;
    this.#reference = Math.min(now, newest);
    this.#stations = sql.all('SELECT id, name FROM station ORDER BY id');
  }

  /** @returns true when nothing is left to do */
  step(): boolean {
    const { rawDays, thinnedDays, runsDays } = this.#rules;
    const before = (days: number): number => (days === 0 ? 0 : this.#reference - days * DAY_MS);
    const station = this.#stations.at(-1);
    if (station === undefined) {
      this.#takeApart(before(rawDays));
      if (runsDays > 0) this.#takeRuns(before(runsDays));
      return true;
    }
    return this.#sql.write(() => {
      if (!this.#thin(station, before(rawDays))) return false;
      if (thinnedDays > 0)
        this.#sql.run(
          'DELETE FROM thinned WHERE key >= ? AND key < ? AND last_ms < ?',
          chunkKey(station.id, 0),
          chunkKey(station.id + 1, 0),
          before(thinnedDays),
        );
      this.#stations.pop();
      return false;
    });
  }

  #takeRuns(before: number): void {
    this.#sql.write(() => {
      const { changes } = this.#sql.run('DELETE FROM run_chunk WHERE last_ms < ?', before);
      if (changes > 0) noteRunsFrom(new EmbeddedStates(this.#sql), before);
    });
  }

  /** Readings that were kept apart because of their times go with the raw readings of the time when they came. */
  #takeApart(before: number): void {
    if (before <= 0) return;
    this.#sql.write(() => {
      for (const { reason, entries, size } of this.#sql.all<{ reason: string; entries: number; size: number }>(
        `SELECT reason, count(*) AS entries, sum(size) AS size FROM quarantine
         WHERE reason IN ${APART_SQL} AND received_at < ? GROUP BY reason`,
        before,
      ))
        this.#sql.run(
          'UPDATE quarantine_count SET kept = kept - ?, dropped = dropped + ?, size = size - ? WHERE reason = ?',
          ...[entries, entries, size, reason],
        );
      this.#sql.run(`DELETE FROM quarantine WHERE reason IN ${APART_SQL} AND received_at < ?`, before);
    });
  }

  /** @returns true when the station has no such chunk any more */
  #thin({ id, name }: { readonly id: number; readonly name: string }, before: number): boolean {
    if (before <= 0) return true;
    const unsent = this.#sql.get<{ from: number | null }>(
      'SELECT min(from_ms) AS "from" FROM historian_span WHERE station = ?',
      name,
    );
    const chunks = this.#sql.all<ChunkRow>(
      `SELECT key & ${LARGEST_TIME} AS first, last_ms AS last, frames, body FROM chunk
       WHERE key >= ? AND key < ? AND last_ms < ? ORDER BY key LIMIT ${CHUNKS_A_STEP}`,
      chunkKey(id, 0),
      chunkKey(id + 1, 0),
      Math.min(before, unsent?.from ?? before),
    );
    if (chunks.length === 0) return true;
    const sound = soundChunks(this.#sql, id, chunks);
    if (sound.length < chunks.length) return false;
    const block = unpackChunks(sound, ALL_CHANNELS);
    let readings = 0;
    for (let from = 0; from < block.rows; ) {
      const day = dayOf(block.times[from]!);
      let to = from;
      while (to < block.rows && dayOf(block.times[to]!) === day) to++;
      readings += thinRows(this.#sql, id, block, from, to, this.#rules.thinnedMinutes * 60_000);
      from = to;
    }
    for (const { first } of chunks) deleteChunk(this.#sql, id, first);
    this.#sql.run(
      `INSERT INTO thinning (station, raw_from, frames, readings) VALUES (?, ?, ?, ?)
       ON CONFLICT DO UPDATE SET raw_from = max(raw_from, excluded.raw_from), frames = frames + excluded.frames,
         readings = readings + excluded.readings`,
      id,
      block.times[block.rows - 1]! + 1,
      block.rows,
      readings,
    );
    return chunks.length < CHUNKS_A_STEP;
  }
}
