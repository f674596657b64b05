import { idleOverrides, Settings } from '../../collector/contract/index.ts';
import { readLog, readPlant, readReadings, readSettings, summaryLine } from '../../collector/files/index.ts';
import { analyzeSite } from '../analyze-site.ts';
import { findingLine } from '../findings-ndjson.ts';
import type { SitePipeline } from '../site.ts';
import { sitePowders } from '../site-powders.ts';

/** Where text goes; a stream of the process, or a test's memory. Resolves when more may be written. */
export interface TextSink {
  write(text: string): void | Promise<void>;
}

export interface AnalyzeFiles {
  readonly plantPath: string;
  readonly readingsPaths: readonly string[];
  readonly logPath?: string | undefined;
  readonly settingsPath?: string | undefined;
  /** Print each finding as it was known over time, not its last state only. */
  readonly snapshots: boolean;
  readonly stdout: TextSink;
  readonly stderr: TextSink;
}

/** Lines that are handed on at once. Source: own choice, because a write for each is slow and one for all takes memory. */
const LINES_AT_ONCE = 500;

/**
 * The command `driftline analyze`: plant file, readings, log and settings in, findings as NDJSON out. Nothing is written to
 * `stdout` before everything is read and analysed.
 *
 * @throws {AppError} a file cannot be used: PLANT_INVALID, READINGS_UNUSABLE, LOG_UNUSABLE, SETTINGS_INVALID
 */
export async function analyzeFilesWith<State>(pipeline: SitePipeline<State>, files: AnalyzeFiles): Promise<void> {
  const plant = await readPlant(files.plantPath);
  const settings = files.settingsPath === undefined ? Settings.parse({}) : await readSettings(files.settingsPath);
  const log = files.logPath === undefined ? null : await readLog(files.logPath, plant);
  const readings = await readReadings(files.readingsPaths, plant);
  const result = analyzeSite(pipeline, { plant, settings, log: log?.entries ?? [], readings }, files.snapshots);
  for (const { sentence } of idleOverrides(settings, plant, sitePowders(plant, result.tracks)))
    await files.stderr.write(`${files.settingsPath}: ${sentence}\n`);
  for (const report of readings.reports) await files.stderr.write(`${summaryLine(report)}\n`);
  if (log && log.ignoredColumns.length > 0)
    await files.stderr.write(`${files.logPath}: columns ignored: ${log.ignoredColumns.join(', ')}\n`);
  const lines = (files.snapshots ? result.snapshots : result.findings).map(findingLine);
  for (let from = 0; from < lines.length; from += LINES_AT_ONCE)
    await files.stdout.write(lines.slice(from, from + LINES_AT_ONCE).join(''));
}
