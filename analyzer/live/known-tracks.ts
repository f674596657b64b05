import type { ExcludedSpan, Plant } from '../../collector/contract/index.ts';
import type { Store } from '../../collector/index.ts';
import { readingFacts } from '../reading-facts.ts';
import { excludeRuns } from '../runs/exclude-runs.ts';
import { neededFrom, type SettledSilences } from '../runs/settled-silences.ts';
import { siteTracks } from '../runs/site-tracks.ts';
import { cutContexts, noticedAt } from '../runs/track.ts';
import type { StationFact, Track } from '../site.ts';
import { areCutsReadable } from './basis.ts';
import { HELD, type Holding, heldByEach } from './held-runs.ts';
import { LiveFacts } from './live-facts.ts';
import { StationCutter } from './station-cutter.ts';

/** What stands beside the readings of a site's stations. */
export interface TrackFrame {
  readonly store: Pick<Store, 'runs' | 'states'>;
  readonly plant: Plant;
  readonly facts: LiveFacts;
  readonly exclusions: readonly ExcludedSpan[];
}

/** Tracks of stations whose runs are cut, each for itself; of facts that were over before `from` those in memory alone, for 0 all. */
export function stationTracks(
  frame: TrackFrame,
  cutters: readonly StationCutter[],
  newest: number,
  from: number,
): Map<string, Track> {
  return new Map(cutters.map((cutter) => [cutter.context.station, trackOf(frame, cutter, newest, from)]));
}

function trackOf(frame: TrackFrame, cutter: StationCutter, newest: number, from: number): Track {
  const { store, plant, facts, exclusions } = frame;
  const track = cutter.track(newest, facts.clocksOf(cutter.context.station));
  const earlier = cutter.runs.earlier(store.runs, exclusions);
  const ranges = facts.ranges.filter(({ time }) => time >= from);
  const station = {
    ...{ id: track.station, firstTime: track.firstTime, lastTime: track.lastTime },
    runsIn: (start: number, end: number) => cutter.runs.between(store.runs, start, end),
  };
  const more = readingFacts({ rangeFacts: ranges, clockFacts: [] }, station, plant);
  const over = cutter.settled(store.states, from);
  return {
    ...track,
    ...(earlier === null ? {} : { earlier }),
    runs: excludeRuns(track.runs, exclusions),
    facts: over.length === 0 ? [...track.facts, ...more] : [...over, ...track.facts, ...more].sort(byNotice),
  };
}

const byNotice = (left: StationFact, right: StationFact): number => noticedAt(left) - noticedAt(right);

/** Tracks of a site as stage two takes them, from stations whose runs are cut. */
export function knownTracks(
  frame: TrackFrame,
  cutters: readonly StationCutter[],
  newest: number,
  settled: SettledSilences | null = null,
): Map<string, Track> {
  return siteTracks(frame.plant, stationTracks(frame, cutters, newest, neededFrom(settled)), settled);
}

/**
 * Tracks of all that a store holds, without changing it: kept runs where they are up to date, readings cut anew where
 * they are not.
 *
 * @param holding how many of the runs are taken into memory; the others are read when they are asked for
 * @returns a generator: each step is a station's runs, and tells the share of the stations that are read
 */
export function* storedTracks(
  store: Store,
  plant: Plant,
  holding: Holding = { ...HELD, runsMs: Number.POSITIVE_INFINITY },
): Generator<number, Map<string, Track>> {
  const facts = new LiveFacts();
  facts.resume(store.states);
  facts.takeCounters(store.counters());
  const cutters: StationCutter[] = [];
  const contexts = [...cutContexts(plant).values()];
  const own = heldByEach(holding, contexts.length);
  const isKeptReadable = areCutsReadable(store.states);
  for (const [read, context] of contexts.entries()) {
    yield read / contexts.length;
    // Its clock only decides how often it keeps a state to go back to, which is of no use here.
    const cutter = new StationCutter(context, () => 0, own);
    cutter.resume(store, isKeptReadable);
    if (cutter.hasReadings) cutters.push(cutter);
  }
  const newest = Math.max(0, ...cutters.map(({ lastTime }) => lastTime));
  return knownTracks({ store, plant, facts, exclusions: store.truths.exclusions() }, cutters, newest);
}
