import type { LogEntry, Plant, Settings } from '../collector/contract/index.ts';
import { Settings as SettingsSchema } from '../collector/contract/index.ts';
import { type ReadingsTable, readLog, readPlant, readReadings, readSettings, summaryLine } from '../collector/index.ts';
import { byRaised, findingLine } from './findings-ndjson.ts';
import { readingFacts } from './reading-facts.ts';
import { cutRuns, passTime } from './runs/cut-runs.ts';
import { startCut } from './runs/cut-state.ts';
import { GrowingRuns } from './runs/growing-runs.ts';
import { siteTracks } from './runs/site-tracks.ts';
import { cutContexts, trackOf } from './runs/track.ts';
import type { SiteContext, SitePipeline, Snapshot, Track } from './site.ts';

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
  const settings = files.settingsPath === undefined ? SettingsSchema.parse({}) : await readSettings(files.settingsPath);
  const log = files.logPath === undefined ? null : await readLog(files.logPath, plant);
  const readings = await readReadings(files.readingsPaths, plant);
  const result = analyzeSite(pipeline, { plant, settings, log: log?.entries ?? [], readings });
  for (const report of readings.reports) await files.stderr.write(`${summaryLine(report)}\n`);
  if (log && log.ignoredColumns.length > 0)
    await files.stderr.write(`${files.logPath}: columns ignored: ${log.ignoredColumns.join(', ')}\n`);
  const lines = (files.snapshots ? result.snapshots : result.findings).map(findingLine);
  for (let from = 0; from < lines.length; from += LINES_AT_ONCE)
    await files.stdout.write(lines.slice(from, from + LINES_AT_ONCE).join(''));
}

/** What an analysis is a function of. */
export interface SiteInput {
  readonly plant: Plant;
  readonly settings: Settings;
  readonly log: readonly LogEntry[];
  readonly readings: ReadingsTable;
}

/** Both stages over a whole history at once. */
export function analyzeSite<State>(
  pipeline: SitePipeline<State>,
  { plant, settings, log, readings }: SiteInput,
): { findings: Snapshot[]; snapshots: Snapshot[] } {
  const context: SiteContext = { plant, settings: [{ version: 1, adopted: 0, settings }] };
  const { tracks, upTo } = cutSite(plant, readings);
  const state = pipeline.init(context);
  const snapshots = pipeline.advance(context, state, tracks, log, upTo);
  return { findings: pipeline.findings(context, state).sort(byRaised), snapshots: snapshots.sort(byRaised) };
}

/** Stage one over all stations. */
export function cutSite(plant: Plant, readings: ReadingsTable): { tracks: Map<string, Track>; upTo: number } {
  const cuts = [...cutContexts(plant).values()]
    .filter(({ station }) => readings.stations.includes(station))
    .map((context) => ({ context, state: startCut(), runs: new GrowingRuns(context.station) }));
  let upTo = 0;
  for (const { context, state, runs } of cuts) {
    for (const block of readings.blocks(context.station)) cutRuns(context, state, block, runs);
    upTo = Math.max(upTo, state.lastTime);
  }
  const tracks = new Map<string, Track>();
  for (const { context, state, runs } of cuts) {
    passTime(context, state, upTo, runs);
    const { firstTime, lastTime } = state;
    const more = readingFacts(readings, { id: context.station, firstTime, lastTime, runs: runs.table() }, plant);
    tracks.set(context.station, trackOf(state, runs, upTo, more));
  }
  return { tracks: siteTracks(plant, tracks), upTo };
}
