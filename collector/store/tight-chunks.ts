import type { Block } from './block.ts';
import { CHUNK_ROWS, encodeChunk } from './chunk.ts';
import {
  ALL_CHANNELS,
  type ChunkRow,
  chunkRows,
  deleteChunk,
  hasTightRollup,
  insertTightChunk,
  unpackChunks,
} from './chunk-table.ts';
import { soundChunks } from './set-aside.ts';
import type { Sql } from './sql.ts';

/** Chunks that are packed anew in one transaction at most. Source: own choice: some megabytes in memory. */
const CHUNKS_A_STEP = 256;

/**
 * Bytes of a chunk that fill a page of the file, because a page holds whole rows: at most what a row may have without
 * being continued on another page, less its other columns. Source of the most: SQLite's file format, 1.6: 4096 - 35 bytes of payload.
 * Source of the least: own choice: a tenth of the page.
 */
const MOST_BYTES = 4040;
const LEAST_BYTES = 3640;

/** Rows of a tight chunk at most. Source: own choice: a late reading unpacks them all. */
const MOST_ROWS = 4 * CHUNK_ROWS;

/** How often a cut is tried again at most. Source: own choice: two or three times are usual. */
const TRIES = 8;

/** Packs a station's chunks anew so that each but the last fills its page. */
export function tightenChunks(sql: Sql, station: number): void {
  let cursor: number | null = 0;
  while (cursor !== null) {
    const from: number = cursor;
    cursor = sql.write(() => tightenFrom(sql, station, from));
  }
}

/** @returns the time at which to go on, or null at the end */
function tightenFrom(sql: Sql, station: number, from: number): number | null {
  const chunks = chunkRows(sql, station, from, Number.POSITIVE_INFINITY, CHUNKS_A_STEP);
  const more = chunks.length === CHUNKS_A_STEP;
  const loose = chunks.findIndex((chunk) => !isTight(chunk) || !hasTightRollup(sql, station, chunk));
  if (loose < 0) return more ? (chunks.at(-1) as ChunkRow).first : null;
  return repack(sql, station, chunks.slice(loose), more);
}

function isTight({ body, frames }: ChunkRow): boolean {
  return body.length <= MOST_BYTES && (body.length >= LEAST_BYTES || frames >= MOST_ROWS);
}

function repack(sql: Sql, station: number, loose: readonly ChunkRow[], more: boolean): number | null {
  const chunks = soundChunks(sql, station, loose);
  if (chunks.length === 0) return more ? (loose.at(-1) as ChunkRow).last + 1 : null;
  const block = unpackChunks(chunks, ALL_CHANNELS);
  for (const chunk of chunks) deleteChunk(sql, station, chunk.first);
  let from = 0;
  let rows = CHUNK_ROWS;
  for (;;) {
    const { to, body } = cut(block, from, rows);
    insertTightChunk(sql, station, block, from, to, body);
    if (to === block.rows) return more ? (block.times[from] as number) : null;
    rows = to - from;
    from = to;
  }
}

/** The longest chunk from a row on that is found to fit a page. @param guess its rows, as those before had */
function cut(block: Block, from: number, guess: number): { to: number; body: Buffer } {
  const most = Math.min(block.rows - from, MOST_ROWS);
  let tooMany = most + 1;
  let best: { to: number; body: Buffer } | null = null;
  for (let rows = Math.min(guess, most), tries = 1; ; tries++) {
    const body = encodeChunk(block, from, from + rows, 'tight');
    if (body.length <= MOST_BYTES || rows === 1) best = { to: from + rows, body };
    else tooMany = rows;
    const fits: number = best === null ? 0 : best.to - from;
    if (best && (best.body.length >= LEAST_BYTES || fits + 1 >= tooMany || tries >= TRIES)) return best;
    const expected = Math.floor((rows * (MOST_BYTES + LEAST_BYTES)) / 2 / body.length);
    rows = Math.min(Math.max(expected, fits + 1), tooMany - 1);
  }
}
