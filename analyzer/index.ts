// The analyzer as other folders see it.

import { type AnalyzeFiles, analyzeFilesWith } from './analyze-files.ts';
import { sitePipeline } from './pipeline.ts';

export type { AnalyzeFiles, TextSink } from './analyze-files.ts';
export type { SiteReadings } from './analyze-site.ts';
export { exportFindings } from './export-findings.ts';
export { byRaised, findingLine } from './findings-ndjson.ts';
export { compactStates } from './live/compact-states.ts';
export { gunConditions, type LiveUpdate } from './live/live-update.ts';
export { type Live, startLive } from './live/start-live.ts';
export { calibrationBins } from './replay/calibration.ts';
export type { CaseScore } from './replay/case-score.ts';
export { confusion } from './replay/confusion.ts';
export type { EvaluationCase, FaultTruth, LifeTruth } from './replay/evaluation-case.ts';
export { isReached, type Measure } from './replay/measure.ts';
export { measures } from './replay/measures.ts';
export { type Replay, replaySite } from './replay/replay-site.ts';
export { scoreCase } from './replay/score-case.ts';
export * from './site.ts';
export * from './views.ts';

/**
 * The command `driftline analyze`: plant file, readings, log and settings in, findings as NDJSON out. Nothing is written to
 * `stdout` before everything is read and analysed.
 *
 * @throws {AppError} a file cannot be used: PLANT_INVALID, READINGS_UNUSABLE, LOG_UNUSABLE, SETTINGS_INVALID
 */
export function analyzeFiles(files: AnalyzeFiles): Promise<void> {
  return analyzeFilesWith(sitePipeline, files);
}
