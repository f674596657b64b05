// The collector as other folders see it.

export { OperationConfig } from './config.ts';
export { writeReadings } from './decode/csv-write.ts';
export { type Decode, type Decoded, PACK_LIMITS, type PackLimits } from './decode/decoded.ts';
export type { ClockFact, RangeFact } from './decode/reading-facts.ts';
export type { ReadingsTable } from './decode/readings-table.ts';
export { REASONS, type Reason } from './decode/reasons.ts';
export { senmlDecoder } from './decode/senml.ts';
export { type FileReport, summaryLine } from './decode/tally.ts';
export { exportReadings } from './export-readings.ts';
export { parseLog, readLog } from './files/maintenance-log.ts';
export { parsePlant, readPlant } from './files/plant.ts';
export { readReadings } from './files/readings.ts';
export { parseSettings, readSettings } from './files/settings.ts';
export { parseYaml } from './files/yaml-file.ts';
export type { ClockReport } from './intake/clock-report.ts';
export { type Collector, type StationNow, startCollector } from './intake/start-collector.ts';
export type { Log } from './log.ts';
export { readConfig } from './read-config.ts';
export { compactStore } from './store/compact.ts';
export { openStore } from './store/embedded.ts';
export type * from './store/store.ts';
export { startWriter } from './store/writer.ts';
export { startThread } from './thread.ts';
