import { ALL_CHANNELS, type ChunkRow, chunkAt, deleteChunk, unpackChunks } from './chunk-table.ts';
import { DamageTable, damagedSpans, faultOf } from './damage.ts';
import type { Sql } from './sql.ts';
import type { DamagedSpan } from './stored-readings.ts';

/*
 * What is damaged is taken out of the way of all else, as it is and never thrown away: its bytes to `set_aside`, its stations and
 * times to `damaged_span`, in the transaction that takes it from where it was.
 */

/** @returns what is missing with it; nothing where it is not damaged */
export function setAsideBatch(sql: Sql, seq: number, body: Uint8Array): DamagedSpan[] {
  const what = `batch ${seq}`;
  const spans = damagedSpans(what, seq, body);
  if (spans.length === 0) return [];
  sql.write(() => {
    keepAside(sql, what, body, spans);
    sql.run('DELETE FROM batch WHERE seq = ?', seq);
  });
  return spans;
}

/** Sets aside those of a station's chunks that are damaged. @returns the others */
export function soundChunks(sql: Sql, station: number, chunks: readonly ChunkRow[]): ChunkRow[] {
  return chunks.filter((chunk) => {
    const fault = chunkFault(chunk);
    if (fault === null) return true;
    sql.write(() => {
      const name = sql.get<{ name: string }>('SELECT name FROM station WHERE id = ?', station)?.name ?? '';
      const span = chunkSpan(name, chunk, fault);
      keepAside(sql, span.what, chunk.body, [span]);
      deleteChunk(sql, station, chunk.first);
      sql.run('UPDATE station SET frames = frames - ? WHERE id = ?', chunk.frames, station);
    });
    return false;
  });
}

/** What a damaged chunk is missing. */
export function chunkSpan(station: string, { first, last }: ChunkRow, fault: string): DamagedSpan {
  return {
    kind: 'readings',
    what: `chunk ${first} of ${station}`,
    station,
    from: first,
    to: last,
    fault,
    certain: true,
  };
}

/** How a chunk is damaged; null where it is not. */
export function chunkFault(chunk: ChunkRow): string | null {
  return faultOf(() => unpackChunks([chunk], ALL_CHANNELS));
}

/** At the start of a writer: damaged batches of the tail, and chunks that a reader has met. @returns what is missing with them */
export function setAsideAll(sql: Sql): DamagedSpan[] {
  const found: DamagedSpan[] = [];
  for (const { seq } of sql.all<{ seq: number }>('SELECT seq FROM batch ORDER BY seq')) {
    const batch = sql.get<{ body: Uint8Array }>('SELECT body FROM batch WHERE seq = ?', seq);
    if (batch) found.push(...setAsideBatch(sql, seq, batch.body));
  }
  for (const { id, first } of sql.all<{ id: number; first: number }>(
    `SELECT station.id, from_ms AS first FROM damaged_span JOIN station ON station.name = damaged_span.station
     WHERE kind = 'readings' AND what LIKE 'chunk %' AND settled_at IS NULL`,
  ))
    soundChunks(sql, id, chunkAt(sql, id, first));
  return found;
}

/** What is missing with all that lies aside; what a reader alone has met is where it was. */
export function setAsideSpans(sql: Sql): DamagedSpan[] {
  if (!sql.hasTable('set_aside')) return [];
  const aside = new Set(sql.all<{ what: string }>('SELECT what FROM set_aside').map(({ what }) => what));
  return new DamageTable(sql).list().filter(({ what }) => aside.has(what));
}

/** Keeps the bytes of what is damaged, and what is missing with them. Whoever calls takes them from where they were. */
export function keepAside(sql: Sql, what: string, body: Uint8Array, spans: readonly DamagedSpan[]): void {
  sql.run('INSERT INTO set_aside (what, body) VALUES (?, ?)', what, body);
  new DamageTable(sql).note(spans);
}
