import { statSync } from 'node:fs';
import { openDatabase } from './database.ts';
import { packQuarantine } from './quarantine-pack.ts';
import { takeServiceLock } from './service-lock.ts';
import { setAsideUnmet } from './set-aside-unmet.ts';
import type { Sql } from './sql.ts';
import { EmbeddedStates } from './states.ts';
import type { States } from './store.ts';
import { sweepAll } from './sweep.ts';
import { tightenChunks } from './tight-chunks.ts';
import { tightenRuns } from './tight-runs.ts';

export interface CompactOutcome {
  readonly frames: number;
  readonly bytesBefore: number;
  readonly bytesAfter: number;
}

/**
 * Brings the store of a data folder to its smallest form: no tail, only full chunks and none of what can be read or
 * computed from them as well, no free pages. What is damaged is set aside, whether a reader has met it or not. May be stopped at any moment and begun again.
 *
 * @param compactStates takes away the named states that their owner can do without
 * @throws {AppError} STORE_UNUSABLE where there is no store, or while a service runs on the folder; DISK_FULL (it needs room for a copy meanwhile)
 */
export function compactStore(dir: string, compactStates: (states: States) => void = () => undefined): CompactOutcome {
  // First of all: where there is no store, no lock must be left behind.
  openDatabase(dir).close();
  const lock = takeServiceLock(dir);
  try {
    const sql = openDatabase(dir, { locked: true });
    try {
      const bytesBefore = sizeOf(sql);
      sweepAll(sql);
      // Before anything is packed anew: what is full already would be passed over, whole or not.
      setAsideUnmet(sql);
      for (const { id } of sql.all<{ id: number }>('SELECT id FROM station ORDER BY id')) tightenChunks(sql, id);
      tightenRuns(sql);
      packQuarantine(sql);
      const states = new EmbeddedStates(sql);
      sql.write(() => compactStates(states));
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

function sizeOf(sql: Sql): number {
  return statSync(sql.file).size + (statSync(`${sql.file}-wal`, { throwIfNoEntry: false })?.size ?? 0);
}
