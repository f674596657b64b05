export { runBehind, runHelpersBehind } from './background.ts';
export { collectOnce } from './collect-once.ts';
// The collector as other folders see it.

export type { Actor } from './access/actor.ts';
export { troubleOf, useCertificate } from './access/certificate-watch.ts';
export { newSecret, secretHash } from './access/secrets.ts';
export {
  addStation,
  type BookTools,
  revokeStation,
  rotateStation,
} from './access/station-book.ts';
export { readTls, type TlsFiles } from './access/tls-files.ts';
export { checkFiles, DESCRIBED, jsonSchema } from './check-config.ts';
export { OperationConfig } from './config.ts';
export type { ClockFact, RangeFact } from './decode/reading-facts.ts';
export type { ReadingsTable } from './decode/readings-table.ts';
export { REASONS } from './decode/reasons.ts';
export { type RowRefusal, summaryLine } from './decode/tally.ts';
export { exportReadings } from './export-readings.ts';
export { describeIssue, singleIssues, valueFaults } from './files/issue-words.ts';
export { type ParsedLog, readLog } from './files/maintenance-log.ts';
export { readPlant } from './files/plant.ts';
export { readReadings } from './files/readings.ts';
export { isSecretField, NOT_SHOWN } from './files/secret-fields.ts';
export { readSettings } from './files/settings.ts';
export { readUnpacked } from './files/unpacked.ts';
export { type Historian, startHistorian } from './historian/start-historian.ts';
export { ImportDesk } from './import/import-desk.ts';
export { ImportMapping, readImportMapping } from './import/import-mapping.ts';
export { importReadings } from './import/import-readings.ts';
export type { ShownImport } from './import/import-record.ts';
export type { ImportOutcome } from './import/import-steps.ts';
export type { KeptMapping } from './import/kept-mappings.ts';
export { localHoursText } from './import/local-hours.ts';
export { missingMarksText } from './import/missing-marks.ts';
export { thousandsText } from './import/number-text.ts';
export type { OfferedMapping } from './import/offer-mapping.ts';
export type { ImportPreview } from './import/preview-rows.ts';
export { type Arriving, Uploads } from './import/uploads.ts';
export type { ClockReport } from './intake/clock-report.ts';
export type { Collector, StationNow } from './intake/collector.ts';
export { startCollector } from './intake/start-collector.ts';
export type { DiskForecast } from './keeping/forecast-disk.ts';
export { startKeeping } from './keeping/start-keeping.ts';
export { levelWhileHolding } from './level-while-holding.ts';
export type { Log } from './log.ts';
export { mappingsOfOwnTopics } from './own-topics.ts';
export { readConfig } from './read-config.ts';
export { shownConfig } from './shown-config.ts';
export { backupStore, restoreStore } from './store/backup.ts';
export { compactStore } from './store/compact.ts';
export { damagedIn, damagedReadings, damageWords, refuseDamaged } from './store/damage.ts';
export { storeIsIn } from './store/database.ts';
export { openStore } from './store/embedded.ts';
export { runsFrom } from './store/runs-from.ts';
export type * from './store/store.ts';
export { DAMAGED_KINDS } from './store/stored-readings.ts';
export { type Verified, type VerifiedStation, verifyStore } from './store/verify.ts';
export { startWriter } from './store/writer.ts';
export { startThread } from './thread.ts';
export { type Tried, tryMapping } from './try-mapping.ts';
export { unknownStations } from './unknown-stations.ts';
