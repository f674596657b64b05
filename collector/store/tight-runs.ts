import { EmbeddedRuns } from './runs.ts';
import type { Sql } from './sql.ts';

/** Packs the runs of every gun anew, into full chunks as small as they get. */
export function tightenRuns(sql: Sql): void {
  const runs = new EmbeddedRuns(sql, 'tightest');
  for (const gun of runs.guns()) runs.repack(gun);
}
