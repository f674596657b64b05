import type { ExcludedSpan, Plant } from '../../collector/contract/index.ts';
import type { Store } from '../../collector/index.ts';
import { readingFacts } from '../reading-facts.ts';
import { excludeRuns } from '../runs/exclude-runs.ts';
import { siteTracks } from '../runs/site-tracks.ts';
import { cutContexts } from '../runs/track.ts';
import type { Track } from '../site.ts';
import { LiveFacts } from './live-facts.ts';
import { StationCutter } from './station-cutter.ts';

/** What stands beside the readings of a site's stations. */
export interface TrackFrame {
  readonly plant: Plant;
  readonly facts: LiveFacts;
  readonly exclusions: readonly ExcludedSpan[];
}

/** Tracks of a site as stage two takes them, from stations whose runs are cut. */
export function knownTracks(frame: TrackFrame, cutters: readonly StationCutter[], newest: number): Map<string, Track> {
  const raw = new Map(cutters.map((cutter) => [cutter.context.station, trackOf(frame, cutter, newest)]));
  return siteTracks(frame.plant, raw);
}

function trackOf({ plant, facts, exclusions }: TrackFrame, cutter: StationCutter, newest: number): Track {
  const track = cutter.track(newest, facts.clocksOf(cutter.context.station));
  const found = { rangeFacts: facts.ranges, clockFacts: [] };
  const more = readingFacts(found, { ...track, id: track.station }, plant);
  return { ...track, runs: excludeRuns(track.runs, exclusions), facts: [...track.facts, ...more] };
}

/**
 * Tracks of all that a store holds, without changing it: kept runs where they are up to date, readings cut anew where
 * they are not.
 *
 * @returns a generator: each step is a station's runs, and tells the share of the stations that are read
 */
export function* storedTracks(store: Store, plant: Plant): Generator<number, Map<string, Track>> {
  const facts = new LiveFacts();
  facts.resume(store.states);
  facts.takeCounters(store.counters());
  const cutters: StationCutter[] = [];
  const contexts = [...cutContexts(plant).values()];
  for (const [read, context] of contexts.entries()) {
    yield read / contexts.length;
    // Its clock only decides how often it keeps a state to go back to, which is of no use here.
    const cutter = new StationCutter(context, () => 0);
    cutter.resume(store);
    if (cutter.hasReadings) cutters.push(cutter);
  }
  const newest = Math.max(0, ...cutters.map(({ lastTime }) => lastTime));
  return knownTracks({ plant, facts, exclusions: store.truths.exclusions() }, cutters, newest);
}
