import { RUN_FIELDS } from '../contract/runs.ts';
import { LARGEST_TIME } from './batch.ts';
import { chunkKey } from './chunk-table.ts';
import { DamageTable, faultOf } from './damage.ts';
import { decodeRuns } from './run-chunk.ts';
import { runColumns } from './run-table.ts';
import { keepAside } from './set-aside.ts';
import type { Sql } from './sql.ts';
import type { DamagedSpan } from './stored-readings.ts';

/** A chunk of spray runs: from the start of its first to that of its last. */
export interface RunChunk {
  readonly first: number;
  readonly last: number;
  readonly runs: number;
  readonly body: Uint8Array;
}

export const RUN_CHUNK = `key & ${LARGEST_TIME} AS first, last_ms AS last, runs, body`;

/** How a chunk of runs is damaged; null where it is not. */
export function runsFault({ runs, body }: RunChunk): string | null {
  return faultOf(() => decodeRuns(body, runs, runColumns(runs, RUN_FIELDS), 0, () => 0));
}

/** What a damaged chunk of runs is missing. */
export function runsSpan(gun: string, { first, last }: RunChunk, fault: string): DamagedSpan {
  return {
    kind: 'spray runs',
    what: `runs ${first} of ${gun}`,
    station: gun,
    from: first,
    to: last,
    fault,
    certain: true,
  };
}

/** Sets aside those of a gun's chunks of runs that are damaged, within the caller's transaction. @returns the others */
export function soundRuns(sql: Sql, id: number, gun: string, chunks: readonly RunChunk[]): RunChunk[] {
  return chunks.filter((chunk) => {
    const fault = runsFault(chunk);
    if (fault === null) return true;
    const span = runsSpan(gun, chunk, fault);
    keepAside(sql, span.what, chunk.body, [span]);
    sql.run('DELETE FROM run_chunk WHERE key = ?', chunkKey(id, chunk.first));
    return false;
  });
}

/** At the start of a writer: chunks of runs that a reader has met. */
export function setAsideRuns(sql: Sql): DamagedSpan[] {
  const met = new DamageTable(sql).list(null, ['spray runs']);
  return met.filter(({ station: gun, from }) =>
    sql.write(() => {
      const id = sql.get<{ id: number }>('SELECT id FROM run_gun WHERE name = ?', gun)?.id;
      if (id === undefined) return false;
      const chunks = sql.all<RunChunk>(`SELECT ${RUN_CHUNK} FROM run_chunk WHERE key = ?`, chunkKey(id, from));
      return soundRuns(sql, id, gun, chunks).length < chunks.length;
    }),
  );
}

/** Runs of a gun that start from here on were found anew: no damage of them is left. Within the caller's transaction. */
export function runsFoundAnew(sql: Sql, gun: string, from: number): void {
  const whole = "kind = 'spray runs' AND station = ? AND from_ms >= ?";
  sql.run(`DELETE FROM set_aside WHERE what IN (SELECT what FROM damaged_span WHERE ${whole})`, gun, from);
  sql.run(`DELETE FROM damaged_span WHERE ${whole}`, gun, from);
  sql.run(
    "UPDATE damaged_span SET to_ms = ? WHERE kind = 'spray runs' AND station = ? AND to_ms >= ?",
    from - 1,
    gun,
    from,
  );
}
