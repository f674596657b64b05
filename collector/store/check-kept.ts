import { formatTime } from '../contract/time.ts';
import { LARGEST_TIME } from './batch.ts';
import type { CheckNotes } from './check-notes.ts';
import { chunkKey } from './chunk-table.ts';
import { isSummed } from './deflated.ts';
import { EmbeddedRuns } from './runs.ts';
import type { Sql } from './sql.ts';
import { hasSum } from './summed.ts';
import { readThinned } from './thinned.ts';

interface Row {
  readonly first: number;
  readonly last: number;
  readonly body: Uint8Array;
}

/** Rows of one station or gun, one at a time: a damaged one must not hide the others. */
function* rowsOf(sql: Sql, table: 'run_chunk' | 'thinned', id: number): Generator<Row, undefined> {
  for (const { first } of sql.all<{ first: number }>(
    `SELECT key & ${LARGEST_TIME} AS first FROM ${table} WHERE key >= ? AND key < ? ORDER BY key`,
    chunkKey(id, 0),
    chunkKey(id + 1, 0),
  ))
    yield* sql.all<Row>(
      `SELECT key & ${LARGEST_TIME} AS first, last_ms AS last, body FROM ${table} WHERE key = ?`,
      chunkKey(id, first),
    );
}

function unpacked<T>(what: string, notes: CheckNotes, none: T, body: () => T): T {
  try {
    return body();
  } catch (error) {
    notes.fault(`${what}: ${error instanceof Error ? error.message : String(error)}`);
    return none;
  }
}

/** Unpacks every chunk of spray runs. @returns how many runs there are */
export function checkRuns(sql: Sql, notes: CheckNotes): number {
  const runs = new EmbeddedRuns(sql);
  let count = 0;
  for (const { id, name } of sql.all<{ id: number; name: string }>('SELECT id, name FROM run_gun ORDER BY name'))
    for (const { first, last, body } of rowsOf(sql, 'run_chunk', id)) {
      if (!isSummed(body)) notes.withoutChecksum();
      count += unpacked(
        `runs of ${name} from ${formatTime(first)}`,
        notes,
        0,
        () => runs.load(name, first, last + 1).length,
      );
    }
  return count;
}

/** Unpacks every thinned day of a station. */
export function checkThinned(sql: Sql, id: number, name: string, notes: CheckNotes): void {
  for (const { first, body } of rowsOf(sql, 'thinned', id)) {
    if (!hasSum(body)) notes.withoutChecksum();
    unpacked(`thinned day of ${name} from ${formatTime(first)}`, notes, null, () =>
      readThinned(sql, id, name, first, first + 1, 0),
    );
  }
}
