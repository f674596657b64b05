import { statSync } from 'node:fs';
import { CHUNK_ROWS } from './chunk.ts';
import { ALL_CHANNELS, type ChunkRow, chunkRows, deleteChunk, insertChunk, unpackChunks } from './chunk-table.ts';
import { openDatabase } from './database.ts';
import { takeServiceLock } from './service-lock.ts';
import type { Sql } from './sql.ts';
import { sweepAll } from './sweep.ts';

/** Chunks that are packed anew in one transaction at most. Source: own choice: some megabytes in memory. */
const CHUNKS_A_STEP = 256;

export interface CompactOutcome {
  readonly frames: number;
  readonly bytesBefore: number;
  readonly bytesAfter: number;
}

/**
 * Brings the store of a data folder to its smallest form: no tail, only full chunks, no free pages. May be
 * stopped at any moment and begun again.
 *
 * @throws {AppError} STORE_UNUSABLE where there is no store, or while a service runs on the folder; DISK_FULL (it needs room for a copy meanwhile)
 */
export function compactStore(dir: string): CompactOutcome {
  // First of all: where there is no store, no lock must be left behind.
  openDatabase(dir).close();
  const lock = takeServiceLock(dir);
  try {
    const sql = openDatabase(dir, { locked: true });
    try {
      const bytesBefore = sizeOf(sql);
      sweepAll(sql);
      for (const { id } of sql.all<{ id: number }>('SELECT id FROM station ORDER BY id')) fillChunks(sql, id);
      sql.exec('VACUUM');
      sql.pragma('wal_checkpoint(TRUNCATE)');
      const frames = sql.get<{ n: number | null }>('SELECT sum(frames) AS n FROM chunk')?.n ?? 0;
      return { frames, bytesBefore, bytesAfter: sizeOf(sql) };
    } finally {
      sql.close();
    }
  } finally {
    lock.release();
  }
}

/** Packs a station's chunks anew so that all but the last are full. */
function fillChunks(sql: Sql, station: number): void {
  let cursor: number | null = 0;
  while (cursor !== null) {
    const from: number = cursor;
    cursor = sql.write(() => fillFrom(sql, station, from));
  }
}

/** @returns the time at which to go on, or null at the end */
function fillFrom(sql: Sql, station: number, from: number): number | null {
  const chunks = chunkRows(sql, station, from, Number.POSITIVE_INFINITY, CHUNKS_A_STEP);
  const more = chunks.length === CHUNKS_A_STEP;
  const loose = chunks.findIndex((chunk) => chunk.frames !== CHUNK_ROWS);
  const last = chunks.at(-1);
  if (!last) return null;
  if (loose < 0 || (loose === chunks.length - 1 && (!more || chunks.length > 1))) return more ? last.first : null;
  return repack(sql, station, chunks.slice(loose), more);
}

function repack(sql: Sql, station: number, chunks: readonly ChunkRow[], more: boolean): number | null {
  const block = unpackChunks(chunks, ALL_CHANNELS);
  for (const chunk of chunks) deleteChunk(sql, station, chunk.first);
  let from = 0;
  while (from < block.rows) {
    const to = Math.min(from + CHUNK_ROWS, block.rows);
    insertChunk(sql, station, block, from, to);
    if (to === block.rows) break;
    from = to;
  }
  return more ? (block.times[from] as number) : null;
}

function sizeOf(sql: Sql): number {
  return statSync(sql.file).size + (statSync(`${sql.file}-wal`, { throwIfNoEntry: false })?.size ?? 0);
}
