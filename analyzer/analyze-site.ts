import type { LogEntry, Plant, Settings } from '../collector/contract/index.ts';
import type { ReadingsTable } from '../collector/index.ts';
import { byRaised } from './findings-ndjson.ts';
import { readingFacts } from './reading-facts.ts';
import { cutRuns, passTime } from './runs/cut-runs.ts';
import { startCut } from './runs/cut-state.ts';
import { GrowingRuns } from './runs/growing-runs.ts';
import { siteTracks } from './runs/site-tracks.ts';
import { cutContexts, trackOf } from './runs/track.ts';
import type { SiteContext, SitePipeline, Snapshot, Track } from './site.ts';

/** Readings of a site as an analysis takes them: station by station, in blocks. */
export type SiteReadings = Pick<ReadingsTable, 'stations' | 'blocks' | 'rangeFacts' | 'clockFacts'>;

/** What an analysis is a function of. */
export interface SiteInput {
  readonly plant: Plant;
  readonly settings: Settings;
  readonly log: readonly LogEntry[];
  readonly readings: SiteReadings;
}

/** What an analysis found, in order of `raised`. */
export interface SiteAnalysis {
  readonly findings: Snapshot[];
  /** Each finding as it was known over time; empty where nobody wants to know. */
  readonly snapshots: Snapshot[];
  /** Runs and facts of each station. */
  readonly tracks: ReadonlyMap<string, Track>;
}

/**
 * Both stages over a whole history at once.
 *
 * @param wanted false where nobody wants to know what was known over time: it costs a fifth of stage two
 */
export function analyzeSite<State>(
  pipeline: SitePipeline<State>,
  { plant, settings, log, readings }: SiteInput,
  wanted = true,
): SiteAnalysis {
  const context: SiteContext = { plant, settings: [{ version: 1, adopted: 0, settings }] };
  const { tracks, upTo } = cutSite(plant, readings);
  const state = pipeline.init(context);
  const snapshots = pipeline.advance(context, state, tracks, log, upTo, wanted ? [] : null);
  const findings = pipeline.findings(context, state);
  return { findings: findings.sort(byRaised), snapshots: snapshots.sort(byRaised), tracks };
}

/** Stage one over all stations. */
export function cutSite(plant: Plant, readings: SiteReadings): { tracks: Map<string, Track>; upTo: number } {
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
    const table = runs.table();
    const more = readingFacts(readings, { id: context.station, firstTime, lastTime, runsIn: () => table }, plant);
    tracks.set(context.station, trackOf(state, runs, upTo, more));
  }
  return { tracks: siteTracks(plant, tracks), upTo };
}
