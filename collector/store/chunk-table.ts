import { CHANNELS } from '../contract/channels.ts';
import { LARGEST_TIME } from './batch.ts';
import type { Block } from './block.ts';
import { decodeChunk, encodeChunk } from './chunk.ts';
import { rollUp, rollupPays } from './rollup.ts';
import { encodeRollup } from './rollup-codec.ts';
import type { Sql, SqlValue } from './sql.ts';
import { summed } from './summed.ts';

/** Every channel, as bits. */
export const ALL_CHANNELS = 2 ** CHANNELS.length - 1;
/** Channels that are numbers or states, as bits: those that have minutes. */
export const ROLLED_CHANNELS = CHANNELS.reduce((bits, { kind }, i) => (kind === 'string' ? bits : bits | (1 << i)), 0);

export interface ChunkHead {
  readonly first: number;
  readonly last: number;
  readonly frames: number;
}

export interface ChunkRow extends ChunkHead {
  readonly body: Uint8Array;
}

const NO_ROLLUP = new Uint8Array(0);

const HEAD = `key & ${LARGEST_TIME} AS first, last_ms AS last, frames`;
/** Start before an end, and hold a time from a start on: `rangeKeys` gives the values. */
const IN_RANGE = `key < ? AND key >= coalesce((SELECT max(key) FROM rollup WHERE key BETWEEN ? AND ?), ?) AND last_ms >= ?`;

/** A station's chunks have keys from its id times 2^43 on; what is left is the time of the first frame. */
export function chunkKey(station: number, first: number): bigint {
  return (BigInt(station) << 43n) + BigInt(first);
}

function rangeKeys(station: number, from: number, to: number): SqlValue[] {
  const [low, start] = [chunkKey(station, 0), clampTime(from)];
  return [chunkKey(station, clampTime(to)), low, chunkKey(station, start), low, start];
}

function clampTime(time: number): number {
  return Math.min(Math.max(0, Math.ceil(time)), LARGEST_TIME);
}

/** Chunks that hold any of [from, to), ascending; the first `limit` of them, -1 for all. */
export function chunkRows(sql: Sql, station: number, from: number, to: number, limit = -1): ChunkRow[] {
  return sql.all(
    `SELECT ${HEAD}, body FROM chunk WHERE ${IN_RANGE} ORDER BY key LIMIT ?`,
    ...rangeKeys(station, from, to),
    limit,
  );
}

export interface RollupRow extends ChunkHead {
  /** Empty where the chunk's frames have to be read. */
  readonly rollup: Uint8Array;
}

/** The chunks that hold any of [from, to) with their roll-ups, ascending. */
export function rollupRows(sql: Sql, station: number, from: number, to: number): RollupRow[] {
  return sql.all(
    `SELECT ${HEAD}, body AS rollup FROM rollup WHERE ${IN_RANGE} ORDER BY key`,
    ...rangeKeys(station, from, to),
  );
}

/** Start of the chunk that comes `count` chunks after the one at a time, if it is before `to`. */
export function chunkAfter(sql: Sql, station: number, from: number, to: number, count: number): number | null {
  const row = sql.get<ChunkHead>(
    `SELECT ${HEAD} FROM chunk WHERE key > ? AND key < ? ORDER BY key LIMIT 1 OFFSET ?`,
    chunkKey(station, clampTime(from)),
    chunkKey(station, clampTime(to)),
    count - 1,
  );
  return row?.first ?? null;
}

/**
 * Heads of the chunks that times in [from, to] may have to do with: the last that starts before them, all that
 * start within, and the first that starts after them.
 */
export function headsAround(sql: Sql, station: number, from: number, to: number): ChunkHead[] {
  const [low, end] = [chunkKey(station, 0), chunkKey(station + 1, 0)];
  return sql.all(
    `SELECT ${HEAD} FROM chunk
     WHERE key >= coalesce((SELECT max(key) FROM chunk WHERE key >= ? AND key < ?), ?)
       AND key <= coalesce((SELECT min(key) FROM chunk WHERE key > ? AND key < ?), ?)
       AND key < ? ORDER BY key`,
    ...[low, chunkKey(station, from), low, chunkKey(station, to), end, end, end],
  );
}

/** One chunk by the time of its first frame. */
export function chunkAt(sql: Sql, station: number, first: number): ChunkRow[] {
  return sql.all(`SELECT ${HEAD}, body FROM chunk WHERE key = ?`, chunkKey(station, first));
}

/** Unpacks chunks into one block; only the `wanted` channels. */
export function unpackChunks(chunks: readonly ChunkRow[], wanted: number): Block {
  let rows = 0;
  for (const chunk of chunks) rows += chunk.frames;
  const columns: (Float64Array | null)[] = CHANNELS.map(() => null);
  const target = { times: new Float64Array(rows), columns, wanted };
  let at = 0;
  for (const chunk of chunks) {
    decodeChunk(chunk.body, chunk.frames, target, at);
    at += chunk.frames;
  }
  return { rows, times: target.times, columns };
}

export function deleteChunk(sql: Sql, station: number, first: number): void {
  const key = chunkKey(station, first);
  sql.run('DELETE FROM chunk WHERE key = ?', key);
  sql.run('DELETE FROM rollup WHERE key = ?', key);
}

/** Writes rows [from, to) of a block as one chunk, with its roll-up where that is read more quickly than its frames. */
export function insertChunk(sql: Sql, station: number, block: Block, from: number, to: number): void {
  const rollup = rollUp(block, from, to, ROLLED_CHANNELS);
  const pays = rollupPays(to - from, rollup.minutes.length);
  writeChunk(
    sql,
    station,
    block,
    from,
    to,
    encodeChunk(block, from, to),
    pays ? summed(encodeRollup(rollup)) : NO_ROLLUP,
  );
}

/**
 * Writes rows [from, to) of a block as one chunk, with its roll-up only where that takes little room beside the frames.
 *
 * @param body the rows, encoded
 */
export function insertTightChunk(
  sql: Sql,
  station: number,
  block: Block,
  from: number,
  to: number,
  body: Uint8Array,
): void {
  const rollup = summed(encodeRollup(rollUp(block, from, to, ROLLED_CHANNELS)));
  writeChunk(sql, station, block, from, to, body, isSmall(rollup.length, body.length) ? rollup : NO_ROLLUP);
}

/** True for a chunk whose roll-up would stay as it is when the chunk is written tightly. */
export function hasTightRollup(sql: Sql, station: number, chunk: ChunkRow): boolean {
  const row = sql.get<{ size: number }>(
    'SELECT length(body) AS size FROM rollup WHERE key = ?',
    chunkKey(station, chunk.first),
  );
  return isSmall(row?.size ?? 0, chunk.body.length);
}

/**
 * Source: own choice, because minutes of frames at 1 or 2 s cost a quarter more room and are read ten times as fast as the frames; of frames
 * at 5 s they would cost as much again as half of the frames, which are few to read.
 */
function isSmall(rollupBytes: number, chunkBytes: number): boolean {
  return rollupBytes * 3 <= chunkBytes;
}

function writeChunk(
  sql: Sql,
  station: number,
  block: Block,
  from: number,
  to: number,
  body: Uint8Array,
  rollup: Uint8Array,
): void {
  const key = chunkKey(station, block.times[from] as number);
  const last = block.times[to - 1] as number;
  sql.run('INSERT INTO chunk (key, last_ms, frames, body) VALUES (?, ?, ?, ?)', key, last, to - from, body);
  sql.run('INSERT INTO rollup (key, last_ms, frames, body) VALUES (?, ?, ?, ?)', key, last, to - from, rollup);
}
