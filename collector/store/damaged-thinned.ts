import { LARGEST_TIME } from './batch.ts';
import { chunkKey } from './chunk-table.ts';
import { DamageTable, faultOf } from './damage.ts';
import { keepAside } from './set-aside.ts';
import type { Sql } from './sql.ts';
import type { DamagedSpan } from './stored-readings.ts';
import { decodeDay } from './thinned-day.ts';

/** Thinned readings of one day: from its start to the last reading that went into it. */
export interface ThinnedRow {
  readonly first: number;
  readonly last: number;
  readonly body: Uint8Array;
}

export const THINNED_DAY = `key & ${LARGEST_TIME} AS first, last_ms AS last, body`;

/** How a thinned day is damaged; null where it is not. */
export function thinnedFault({ body }: ThinnedRow): string | null {
  return faultOf(() => decodeDay(body));
}

/** What a damaged day is missing. */
export function thinnedSpan(station: string, { first, last }: ThinnedRow, fault: string): DamagedSpan {
  const what = `thinned day ${first} of ${station}`;
  return { kind: 'thinned readings', what, station, from: first, to: last, fault, certain: true };
}

/** A station's thinned day, within the caller's transaction; undefined where there is none, or it was damaged and is set aside now. */
export function soundDay(sql: Sql, station: number, day: number): ThinnedRow | undefined {
  const key = chunkKey(station, day);
  const row = sql.get<ThinnedRow>(`SELECT ${THINNED_DAY} FROM thinned WHERE key = ?`, key);
  const fault = row === undefined ? null : thinnedFault(row);
  if (row === undefined || fault === null) return row;
  const name = sql.get<{ name: string }>('SELECT name FROM station WHERE id = ?', station)?.name ?? '';
  const span = thinnedSpan(name, row, fault);
  keepAside(sql, span.what, row.body, [span]);
  sql.run('DELETE FROM thinned WHERE key = ?', key);
  return undefined;
}

/** Sets aside every thinned day that is damaged, whether a reader has met it or not. */
export function setAsideDamagedDays(sql: Sql): void {
  for (const { station, day } of sql.all<{ station: number; day: number }>(
    `SELECT key >> 43 AS station, key & ${LARGEST_TIME} AS day FROM thinned ORDER BY key`,
  ))
    sql.write(() => soundDay(sql, station, day));
}

/** At the start of a writer: thinned days that a reader has met. */
export function setAsideThinned(sql: Sql): DamagedSpan[] {
  return new DamageTable(sql).list(null, ['thinned readings']).filter(({ station, from }) =>
    sql.write(() => {
      const id = sql.get<{ id: number }>('SELECT id FROM station WHERE name = ?', station)?.id;
      if (id === undefined || sql.get('SELECT 1 FROM thinned WHERE key = ?', chunkKey(id, from)) === undefined)
        return false;
      return soundDay(sql, id, from) === undefined;
    }),
  );
}
