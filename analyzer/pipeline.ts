import type { Finding, LogEntry } from '../collector/contract/index.ts';
import { makeJobs } from './advise/make-jobs.ts';
import { toFinding } from './diagnose/finding-book.ts';
import { CLOCK_HOLDS_MS, RANGE_HOLDS_MS } from './diagnose/judge-site.ts';
import { HoldingFacts } from './pipeline-facts.ts';
import { initialState, type PipelineState } from './pipeline-state.ts';
import { type Tick, takeTick } from './pipeline-tick.ts';
import { gunViews } from './pipeline-views.ts';
import { noticedAt } from './runs/track.ts';
import type { SiteContext, SitePipeline, Track } from './site.ts';

/**
 * Findings are looked for at fixed reading times, so that they do not depend on how the calls are cut.
 * Source: own choice, short against the 8 spray minutes of a block.
 */
export const TICK_MS = 5 * 60_000;

/** First row of an ascending column with a value above `limit`. */
function firstAbove(column: Float64Array, length: number, limit: number): number {
  let low = 0;
  let high = length;
  while (low < high) {
    const middle = (low + high) >> 1;
    if (column[middle]! > limit) high = middle;
    else low = middle + 1;
  }
  return low;
}

/** Reading times at which facts of all stations begin or end to hold, ascending, within (from, to]. */
function factTimes(tracks: ReadonlyMap<string, Track>, from: number, to: number): number[] {
  const times: number[] = [];
  const add = (time: number): void => {
    if (time > from && time <= to) times.push(time);
  };
  for (const track of tracks.values())
    for (const fact of track.facts) {
      add(noticedAt(fact));
      if ('until' in fact && fact.until !== null) add(fact.until);
      if (fact.kind === 'range') add(fact.time + RANGE_HOLDS_MS);
      if (fact.kind === 'clock') add(fact.time + CLOCK_HOLDS_MS);
    }
  return times.sort((left, right) => left - right);
}

interface Cursor {
  readonly gun: string;
  readonly track: Track;
  row: number;
}

/** Stage two: runs and facts of a whole site become findings. */
export const sitePipeline: SitePipeline<PipelineState> = {
  stateVersion: 9,
  init: initialState,

  advance(context: SiteContext, state, tracks, log: readonly LogEntry[], upTo): Finding[] {
    const told: Finding[] = [];
    const end = Math.floor(upTo / TICK_MS) * TICK_MS;
    if (!(end > state.time)) return told;
    const cursors: Cursor[] = [];
    for (const { id } of context.plant.guns) {
      const track = tracks.get(id);
      if (track === undefined) continue;
      cursors.push({ gun: id, track, row: firstAbove(track.runs.columns.end, track.runs.length, state.time) });
    }
    const entries = log
      .filter(({ time }) => time > state.time && time <= end)
      .sort((left, right) => left.time - right.time);
    const facts = factTimes(tracks, state.time, end);
    const holding = new Map<string, HoldingFacts>();
    for (const track of tracks.values())
      if (track.facts.length > 0) holding.set(track.station, new HoldingFacts(track));
    let entry = 0;
    let fact = 0;
    for (;;) {
      let next = Number.POSITIVE_INFINITY;
      for (const { track, row } of cursors)
        if (row < track.runs.length) next = Math.min(next, track.runs.columns.end[row]!);
      if (entry < entries.length) next = Math.min(next, entries[entry]!.time);
      if (fact < facts.length) next = Math.min(next, facts[fact]!);
      const now = Math.ceil(next / TICK_MS) * TICK_MS;
      if (!(now <= end)) break;
      const runs: Tick['runs'][number][] = [];
      for (const cursor of cursors) {
        const from = cursor.row;
        const ends = cursor.track.runs.columns.end;
        while (cursor.row < cursor.track.runs.length && ends[cursor.row]! <= now) cursor.row++;
        if (cursor.row > from) runs.push({ gun: cursor.gun, table: cursor.track.runs, from, to: cursor.row });
      }
      const firstEntry = entry;
      while (entry < entries.length && entries[entry]!.time <= now) entry++;
      const firstFact = fact;
      while (fact < facts.length && facts[fact]! <= now) fact++;
      takeTick(
        context,
        state,
        holding,
        { now, runs, log: entries.slice(firstEntry, entry), factsChanged: fact > firstFact },
        told,
      );
    }
    state.time = end;
    return told;
  },

  findings(_context, state): Finding[] {
    return [...state.book.closed, ...state.book.open]
      .sort((a, b) => a.raised - b.raised || compare(a.gun, b.gun) || compare(a.cause, b.cause))
      .map(toFinding);
  },

  views: gunViews,

  jobs(context, state) {
    return makeJobs(context.plant, state.book.open, gunViews(context, state));
  },
};

function compare(left: string | null, right: string | null): number {
  const a = left ?? '';
  const b = right ?? '';
  return a < b ? -1 : a > b ? 1 : 0;
}
