import type { Block } from './block.ts';
import type { CheckNotes } from './check-notes.ts';
import { ALL_CHANNELS, type ChunkHead, type ChunkRow, chunkKey, ROLLED_CHANNELS, unpackChunks } from './chunk-table.ts';
import { isSummed } from './deflated.ts';
import { emptySums, type MinuteSums, rollUp } from './rollup.ts';
import { addRollup } from './rollup-codec.ts';
import type { Sql } from './sql.ts';
import { unsummed } from './summed.ts';

/**
 * Unpacks every chunk of a station: times ascend, chunks do not overlap, heads say what is inside, roll-ups agree
 * with their frames, and the station's count of frames is that of its chunks and of those that were thinned.
 *
 * @param notes is told of each fault
 * @returns how many chunks there are
 */
export function checkChunks(sql: Sql, id: number, name: string, notes: CheckNotes): number {
  let chunks = 0;
  let frames = 0;
  let before = Number.NEGATIVE_INFINITY;
  for (const { first } of chunkHeads(sql, id)) {
    chunks++;
    const where = `chunk of ${name} from ${new Date(first).toISOString()}`;
    // One at a time: a damaged one must not hide the others, and all of them need not be in memory at once.
    const rows = sql.all<ChunkRow>(
      'SELECT ? AS first, last_ms AS last, frames, body FROM chunk WHERE key = ?',
      first,
      chunkKey(id, first),
    );
    for (const chunk of rows) {
      frames += chunk.frames;
      if (!isSummed(chunk.body)) notes.withoutChecksum();
      if (first <= before) notes.fault(`${where}: overlaps the chunk before it`);
      before = chunk.last;
      try {
        for (const fault of faultsOf(sql, id, chunk)) notes.fault(`${where}: ${fault}`);
      } catch (error) {
        notes.fault(`${where}: ${error instanceof Error ? error.message : String(error)}`);
      }
    }
  }
  const counted = sql.get<{ frames: number }>('SELECT frames FROM station WHERE id = ?', id)?.frames ?? 0;
  const thinned = sql.hasTable('thinning')
    ? (sql.get<{ frames: number }>('SELECT frames FROM thinning WHERE station = ?', id)?.frames ?? 0)
    : 0;
  if (counted !== frames + thinned)
    notes.fault(`${name}: counts ${counted} frames, but its chunks hold ${frames} and ${thinned} were thinned`);
  return chunks;
}

function chunkHeads(sql: Sql, id: number): { first: number }[] {
  return sql.all(
    'SELECT key - ? AS first FROM chunk WHERE key >= ? AND key < ? ORDER BY key',
    chunkKey(id, 0),
    chunkKey(id, 0),
    chunkKey(id + 1, 0),
  );
}

function faultsOf(sql: Sql, id: number, chunk: ChunkRow): string[] {
  const faults: string[] = [];
  const block = unpackChunks([chunk], ALL_CHANNELS);
  const { times } = block;
  if (times[0] !== chunk.first || times[block.rows - 1] !== chunk.last)
    faults.push('its times are not those of its head');
  for (let row = 1; row < block.rows; row++)
    if (!(times[row]! > times[row - 1]!)) {
      faults.push('its times do not ascend');
      break;
    }
  const minutes = rollupFault(sql, id, chunk, block);
  return minutes === null ? faults : [...faults, minutes];
}

/** What is wrong with the minutes that are kept beside a chunk; null where they are those of its frames. */
export function rollupFault(sql: Sql, id: number, { first, frames }: ChunkHead, block: Block): string | null {
  const rollup = sql.get<{ frames: number; body: Uint8Array }>(
    'SELECT frames, body FROM rollup WHERE key = ?',
    chunkKey(id, first),
  );
  if (!rollup) return 'it has no minutes';
  if (rollup.frames !== frames) return 'its minutes are of another chunk';
  try {
    return rollup.body.length === 0 || agrees(rollup.body, rollUp(block, 0, block.rows, ROLLED_CHANNELS))
      ? null
      : 'its minutes do not agree with its frames';
  } catch (error) {
    return error instanceof Error ? error.message : String(error);
  }
}

function agrees(body: Uint8Array, { minutes, columns }: ReturnType<typeof rollUp>): boolean {
  const rows = new Map([...minutes].map((minute, row) => [minute, row]));
  const found = new Map<number, MinuteSums>();
  let known = true;
  addRollup(unsummed(body, 'its roll-up of minutes'), ROLLED_CHANNELS, {
    rowOf: (minute) => {
      const row = rows.get(minute);
      known &&= row !== undefined;
      return row ?? 0;
    },
    sumsOf: (channel) => {
      const sums = found.get(channel) ?? emptySums(minutes.length);
      found.set(channel, sums);
      return sums;
    },
  });
  if (!known) return false;
  return columns.every((expected, channel) => {
    const sums = found.get(channel);
    if (!expected || !sums) return !expected === !sums;
    return expected.count.every(
      (count, row) =>
        count === sums.count[row] &&
        (count === 0 || (sums.min[row] === expected.min[row] && sums.max[row] === expected.max[row])),
    );
  });
}
