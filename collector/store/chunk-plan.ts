import { type Block, rowAt } from './block.ts';
import { CHUNK_ROWS } from './chunk.ts';
import type { ChunkHead } from './chunk-table.ts';

/** What becomes of some new rows: chunks to open again (merged with the rows), and how to cut the result. */
export interface ChunkTask {
  /** Rows [from, to) of the new block. */
  readonly from: number;
  readonly to: number;
  /** First time of the chunk that they belong to; null for chunks of their own. */
  readonly reopen: number | null;
  /** True at the end of what the station has: cut full chunks and leave the last one open. */
  readonly atEnd: boolean;
}

/**
 * Which chunks new rows go to, so that chunks never overlap and ones that are full are left alone
 * unless a row falls inside.
 *
 * @param heads the chunks around the new rows, ascending: the one that starts before them, all that start within,
 * and the one that starts after them
 */
export function planChunks(block: Block, heads: readonly ChunkHead[]): ChunkTask[] {
  const tasks: ChunkTask[] = [];
  if (block.rows === 0) return tasks;
  const first = heads[0];
  let from = 0;
  const before = first ? rowAt(block.times, block.rows, first.first) : block.rows;
  // A few rows before the first chunk join it, so that times that arrive backwards don't leave a chunk each.
  if (!first || before >= CHUNK_ROWS / 2) {
    tasks.push({ from, to: before, reopen: null, atEnd: !first });
    from = before;
  }
  for (const [index, head] of heads.entries()) {
    const next = heads[index + 1];
    const to = next ? rowAt(block.times, block.rows, next.first) : block.rows;
    if (to === from) continue;
    const inside = (block.times[from] as number) <= head.last;
    tasks.push({ from, to, reopen: inside || head.frames < CHUNK_ROWS ? head.first : null, atEnd: !next });
    from = to;
  }
  return tasks;
}

/** Ends of the chunks into which rows are cut: full ones where rows will follow, else equal ones. */
export function cutRows(rows: number, atEnd: boolean): number[] {
  const ends: number[] = [];
  const pieces = Math.ceil(rows / CHUNK_ROWS);
  for (let piece = 1; piece < pieces; piece++)
    ends.push(atEnd ? piece * CHUNK_ROWS : Math.round((piece * rows) / pieces));
  ends.push(rows);
  return ends;
}
