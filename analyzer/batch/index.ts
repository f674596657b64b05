// The analysis of files as commands see it, without the store: it loads in half the time.

import { sitePipeline } from '../pipeline.ts';
import { type AnalyzeFiles, analyzeFilesWith } from './analyze-files.ts';

/**
 * The command `driftline analyze`: plant file, readings, log and settings in, findings as NDJSON out. Nothing is written to
 * `stdout` before everything is read and analysed.
 *
 * @throws {AppError} a file cannot be used: PLANT_INVALID, READINGS_UNUSABLE, LOG_UNUSABLE, SETTINGS_INVALID
 */
export function analyzeFiles(files: AnalyzeFiles): Promise<void> {
  return analyzeFilesWith(sitePipeline, files);
}
