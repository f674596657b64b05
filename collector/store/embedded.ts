import { statSync } from 'node:fs';
import { EmbeddedAudit } from './audit.ts';
import { EmbeddedBaselines } from './baselines.ts';
import { EmbeddedBrokerRecords } from './broker-records.ts';
import { EmbeddedClockSpans } from './clock-spans.ts';
import { readCounters } from './counters.ts';
import { type OpenOptions, openDatabase } from './database.ts';
import { EmbeddedDiskUse } from './disk-use.ts';
import { embeddedAccess } from './embedded-access.ts';
import { EmbeddedFigures } from './figures.ts';
import { EmbeddedFindings } from './findings.ts';
import { EmbeddedHistorianOutbox } from './historian-outbox.ts';
import { EmbeddedJournal } from './journal.ts';
import { EmbeddedLog } from './maintenance-log.ts';
import { MIGRATIONS } from './migrations.ts';
import { EmbeddedOutbox } from './outbox.ts';
import { EmbeddedQuarantine } from './quarantine.ts';
import { EmbeddedReadings } from './readings.ts';
import { EmbeddedRuns } from './runs.ts';
import { EmbeddedSettings } from './settings-history.ts';
import { EmbeddedDamage } from './settled-damage.ts';
import type { Sql } from './sql.ts';
import { EmbeddedStates } from './states.ts';
import { EmbeddedStockMoves } from './stock-moves.ts';
import type { Store, StoreStats } from './store.ts';
import { EmbeddedTraces } from './traces.ts';
import { EmbeddedTruths } from './truths.ts';
import { WaitingPacksTable } from './waiting-packs-table.ts';

/**
 * Opens the embedded store of a data folder: SQLite in WAL mode, one connection, for one thread. Any number of
 * processes may have it open; readings are written by the one that has called `startWriter`.
 *
 * @throws {AppError} STORE_UNUSABLE, DISK_FULL; see openDatabase
 */
export function openStore(dir: string, options: OpenOptions = {}): Store {
  const sql = openDatabase(dir, options);
  return {
    readings: new EmbeddedReadings(sql, {
      withWaiting: !options.settledOnly,
      damaged: options.leaveOutDamaged ? 'noted' : 'refused',
    }),
    runs: new EmbeddedRuns(sql),
    damage: new EmbeddedDamage(sql),
    log: new EmbeddedLog(sql),
    findings: new EmbeddedFindings(sql),
    journal: new EmbeddedJournal(sql),
    states: new EmbeddedStates(sql),
    settings: new EmbeddedSettings(sql),
    truths: new EmbeddedTruths(sql),
    baselines: new EmbeddedBaselines(sql),
    traces: new EmbeddedTraces(sql),
    broker: new EmbeddedBrokerRecords(sql),
    quarantine: new EmbeddedQuarantine(sql),
    stock: new EmbeddedStockMoves(sql),
    figures: new EmbeddedFigures(sql),
    outbox: new EmbeddedOutbox(sql),
    access: embeddedAccess(sql),
    audit: new EmbeddedAudit(sql),
    diskUse: new EmbeddedDiskUse(sql),
    historian: new EmbeddedHistorianOutbox(sql),
    clocks: new EmbeddedClockSpans(sql),
    waitingPacks: () => new WaitingPacksTable(sql).packs(),
    counters: () => readCounters(sql),
    transaction: (body) => sql.write(body),
    stats: () => stats(sql),
    close: () => {
      if (sql.open) sql.close();
    },
  };
}

function stats(sql: Sql): StoreStats {
  const chunks = sql.get<{ n: number; frames: number }>(
    'SELECT count(*) AS n, coalesce(sum(frames), 0) AS frames FROM chunk',
  );
  const tail = sql.get<{ n: number; bytes: number }>(
    'SELECT count(*) AS n, coalesce(sum(length(body)), 0) AS bytes FROM batch',
  );
  return {
    fileBytes: statSync(sql.file).size,
    walBytes: statSync(`${sql.file}-wal`, { throwIfNoEntry: false })?.size ?? 0,
    schemaVersion: MIGRATIONS.length,
    chunkFrames: chunks?.frames ?? 0,
    chunks: chunks?.n ?? 0,
    tailBatches: tail?.n ?? 0,
    tailBytes: tail?.bytes ?? 0,
  };
}
