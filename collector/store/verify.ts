import { checkChunks } from './check-chunks.ts';
import { checkRefusals, checkRuns, checkThinned } from './check-kept.ts';
import type { CheckNotes } from './check-notes.ts';
import { checkTail } from './check-tail.ts';
import { lostCommits, markedCommit } from './commit-mark.ts';
import { damageWords } from './damage.ts';
import { openDatabase } from './database.ts';
import { EmbeddedQuarantine } from './quarantine.ts';
import { EmbeddedReadings } from './readings.ts';
import { setAsideSpans } from './set-aside.ts';
import type { Sql } from './sql.ts';
import type { StationCounts } from './store.ts';

/** A time without readings between two of a station. */
export interface Gap {
  readonly from: number;
  readonly to: number;
}

/** What is kept of one station. Times are epoch ms. */
export interface VerifiedStation extends StationCounts {
  /** Frames of which only least, largest, mean and count are kept; those that retention took away altogether are among them. */
  readonly thinned: number;
  readonly firstTime: number;
  readonly lastTime: number;
  /** Gaps from the given length on, ascending. */
  readonly gaps: readonly Gap[];
}

export interface Verified {
  readonly schemaVersion: number;
  readonly stations: readonly VerifiedStation[];
  readonly chunks: number;
  readonly batches: number;
  readonly runs: number;
  readonly findings: number;
  readonly logEntries: number;
  readonly refusals: number;
  /** Chunks, batches and thinned days that were written before there were checksums. */
  readonly withoutChecksum: number;
  /** What was found damaged before and set aside, a sentence each: it is missing, and all else goes on. */
  readonly setAside: readonly string[];
  /** What else is wrong, a sentence each; empty when all is well. */
  readonly faults: readonly string[];
}

/** Gaps from this length on are told of, ms. Source: own choice, because a silence of this length is missing data. */
export const GAP_MS = 30 * 60_000;

/**
 * Checks the store of a data folder, also while a service runs on it: SQLite's own check, every chunk and batch unpacked and
 * compared with its checksum, counts compared, the gaps of each station told, and the last commit compared with the number that is kept beside the store.
 *
 * @throws {AppError} STORE_UNUSABLE where there is no store or it cannot even be opened
 */
export function verifyStore(dir: string, gapMs: number = GAP_MS): Verified {
  // Before the store is opened: a service may be committing.
  const marked = markedCommit(dir);
  const sql = openDatabase(dir, { asIs: true });
  try {
    return sql.read(() => {
      const verified = verifySql(sql, gapMs);
      const lost = lostCommits(marked, sql);
      return lost === null ? verified : { ...verified, faults: [...verified.faults, lost] };
    });
  } finally {
    sql.close();
  }
}

/** The same for an open database. */
export function verifySql(sql: Sql, gapMs: number = GAP_MS): Verified {
  const faults: string[] = [];
  let withoutChecksum = 0;
  const notes: CheckNotes = {
    fault: (sentence) => void faults.push(sentence),
    withoutChecksum: () => void withoutChecksum++,
  };
  for (const { integrity_check: said } of sql.all<{ integrity_check: string }>('PRAGMA integrity_check'))
    if (said !== 'ok') faults.push(`SQLite: ${said}`);
  const schemaVersion = Number(sql.pragma('user_version'));
  const attempt = <T>(what: string, none: T, body: () => T): T => {
    try {
      return body();
    } catch (error) {
      faults.push(`${what}: ${error instanceof Error ? error.message : String(error)}`);
      return none;
    }
  };
  const stationIds = attempt('stations', [], () =>
    sql.all<{ id: number; name: string }>('SELECT id, name FROM station ORDER BY name'),
  );
  let chunks = 0;
  for (const { id, name } of stationIds)
    chunks += attempt(`chunks of ${name}`, 0, () => checkChunks(sql, id, name, notes));
  if (sql.hasTable('thinned'))
    for (const { id, name } of stationIds)
      attempt(`thinned readings of ${name}`, undefined, () => checkThinned(sql, id, name, notes));
  const batches = attempt('tail', 0, () => checkTail(sql, notes));
  const runs = attempt('runs', 0, () => checkRuns(sql, notes));
  if (sql.hasTable('quarantine_pack')) attempt('quarantine', undefined, () => checkRefusals(sql, notes));
  const readings = new EmbeddedReadings(sql, { damaged: 'left out' });
  const stations = attempt('stations', [], () => readings.stations()).flatMap(({ station, firstTime, lastTime }) =>
    attempt<VerifiedStation[]>(`readings of ${station}`, [], () => [
      {
        ...readings.counts(station),
        ...{ thinned: sql.hasTable('thinning') ? (readings.thinnedAway(station)?.frames ?? 0) : 0 },
        ...{ firstTime, lastTime, gaps: gapsOf(readings, station, gapMs) },
      },
    ]),
  );
  const count = (table: string): number =>
    attempt(table, 0, () => sql.get<{ n: number }>(`SELECT count(*) AS n FROM ${table}`)?.n ?? 0);
  return {
    schemaVersion,
    stations,
    chunks,
    batches,
    runs,
    findings: count('finding'),
    logEntries: count('log_entry'),
    refusals:
      schemaVersion < 2
        ? count('quarantine')
        : attempt('quarantine', 0, () => new EmbeddedQuarantine(sql, 'left out').list().length),
    withoutChecksum,
    setAside: setAsideSpans(sql).map(damageWords),
    faults,
  };
}

function gapsOf(readings: EmbeddedReadings, station: string, gapMs: number): Gap[] {
  const gaps: Gap[] = [];
  let before = Number.POSITIVE_INFINITY;
  for (const { times } of readings.iterateFrames(station, 0, Number.POSITIVE_INFINITY, []))
    for (const time of times) {
      if (time - before >= gapMs) gaps.push({ from: before, to: time });
      before = time;
    }
  return gaps;
}
