import { LARGEST_TIME } from './batch.ts';
import type { CheckNotes } from './check-notes.ts';
import { chunkKey } from './chunk-table.ts';
import { damageWords } from './damage.ts';
import { refusalPacks, refusalsFault, refusalsSpan } from './damaged-refusals.ts';
import { RUN_CHUNK, type RunChunk, runsFault, runsSpan } from './damaged-runs.ts';
import { THINNED_DAY, type ThinnedRow, thinnedFault, thinnedSpan } from './damaged-thinned.ts';
import { isSummed } from './deflated.ts';
import type { Sql } from './sql.ts';
import { hasSum } from './summed.ts';

/** Rows of one station or gun, one at a time: all of them need not be in memory at once. */
function* rowsOf<Row>(
  sql: Sql,
  table: 'run_chunk' | 'thinned',
  columns: string,
  id: number,
): Generator<Row, undefined> {
  for (const { first } of sql.all<{ first: number }>(
    `SELECT key & ${LARGEST_TIME} AS first FROM ${table} WHERE key >= ? AND key < ? ORDER BY key`,
    chunkKey(id, 0),
    chunkKey(id + 1, 0),
  ))
    yield* sql.all<Row>(`SELECT ${columns} FROM ${table} WHERE key = ?`, chunkKey(id, first));
}

/** Unpacks every chunk of spray runs. @returns how many runs there are */
export function checkRuns(sql: Sql, notes: CheckNotes): number {
  let count = 0;
  for (const { id, name } of sql.all<{ id: number; name: string }>('SELECT id, name FROM run_gun ORDER BY name'))
    for (const chunk of rowsOf<RunChunk>(sql, 'run_chunk', RUN_CHUNK, id)) {
      if (!isSummed(chunk.body)) notes.withoutChecksum();
      const fault = runsFault(chunk);
      if (fault === null) count += chunk.runs;
      else notes.fault(damageWords(runsSpan(name, chunk, fault)));
    }
  return count;
}

/** Unpacks every thinned day of a station. */
export function checkThinned(sql: Sql, id: number, name: string, notes: CheckNotes): void {
  for (const day of rowsOf<ThinnedRow>(sql, 'thinned', THINNED_DAY, id)) {
    if (!hasSum(day.body)) notes.withoutChecksum();
    const fault = thinnedFault(day);
    if (fault !== null) notes.fault(damageWords(thinnedSpan(name, day, fault)));
  }
}

/** Unpacks every pack of refusals. */
export function checkRefusals(sql: Sql, notes: CheckNotes): void {
  for (const pack of refusalPacks(sql)) {
    const fault = refusalsFault(pack);
    if (fault !== null) notes.fault(damageWords(refusalsSpan(pack, fault)));
  }
}
