import { LARGEST_TIME } from './batch.ts';
import { rollupFault } from './check-chunks.ts';
import {
  ALL_CHANNELS,
  type ChunkRow,
  chunkAt,
  chunkKey,
  deleteChunk,
  insertChunk,
  unpackChunks,
} from './chunk-table.ts';
import { setAsideDamagedRefusals } from './damaged-refusals.ts';
import { RUN_CHUNK, type RunChunk, soundRuns } from './damaged-runs.ts';
import { setAsideDamagedDays } from './damaged-thinned.ts';
import { setAsideAll, soundChunks } from './set-aside.ts';
import type { Sql } from './sql.ts';

/** Times of the heads of a table's rows of one station or gun, ascending. */
function headsOf(sql: Sql, table: 'chunk' | 'run_chunk', id: number): number[] {
  return sql
    .all<{ first: number }>(
      `SELECT key & ${LARGEST_TIME} AS first FROM ${table} WHERE key >= ? AND key < ? ORDER BY key`,
      ...[chunkKey(id, 0), chunkKey(id + 1, 0)],
    )
    .map(({ first }) => first);
}

/**
 * Sets aside all that is damaged of readings, runs and refusals, whether a reader has met it or not, and reckons damaged roll-ups anew from their
 * frames: each row is unpacked once, which takes as long as checking a store does.
 */
export function setAsideUnmet(sql: Sql): void {
  setAsideAll(sql);
  for (const { id } of sql.all<{ id: number }>('SELECT id FROM station ORDER BY id'))
    for (const first of headsOf(sql, 'chunk', id))
      for (const chunk of soundChunks(sql, id, chunkAt(sql, id, first))) mendRollup(sql, id, chunk);
  for (const { id, name } of sql.all<{ id: number; name: string }>('SELECT id, name FROM run_gun ORDER BY id'))
    for (const first of headsOf(sql, 'run_chunk', id))
      sql.write(() => {
        const chunks = sql.all<RunChunk>(`SELECT ${RUN_CHUNK} FROM run_chunk WHERE key = ?`, chunkKey(id, first));
        soundRuns(sql, id, name, chunks);
      });
  setAsideDamagedDays(sql);
  setAsideDamagedRefusals(sql);
}

function mendRollup(sql: Sql, station: number, chunk: ChunkRow): void {
  const block = unpackChunks([chunk], ALL_CHANNELS);
  if (rollupFault(sql, station, chunk, block) === null) return;
  sql.write(() => {
    deleteChunk(sql, station, chunk.first);
    insertChunk(sql, station, block, 0, block.rows);
  });
}
