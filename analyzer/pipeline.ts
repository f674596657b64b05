import type { Finding, LogEntry } from '../collector/contract/index.ts';
import { makeJobs } from './advise/make-jobs.ts';
import { workOnBeliefs } from './baseline/belief-room.ts';
import { bringUpToDate, toFinding } from './diagnose/finding-book.ts';
import { initialState, type PipelineState } from './pipeline-state.ts';
import { TICK_MS } from './pipeline-tick-length.ts';
import { runTicks, wordsIn } from './pipeline-ticks.ts';
import { gunViews } from './pipeline-views.ts';
import type { SiteContext, SitePipeline, Track } from './site.ts';

/** Stage two: runs and facts of a whole site become findings. */
export const sitePipeline: SitePipeline<PipelineState> = {
  stateVersion: 53,
  init: initialState,

  advance(context: SiteContext, state, tracks, log: readonly LogEntry[], upTo, told: Finding[] | null = []): Finding[] {
    const end = Math.floor(upTo / TICK_MS) * TICK_MS;
    noteFirstReadings(state, tracks);
    if (end > state.time)
      workOnBeliefs(() => runTicks({ context, state, tracks, told }, log, end, wordsIn(context, state.time, end)));
    return told ?? [];
  },

  findings(_context, state): Finding[] {
    return [...state.book.closed, ...state.book.open]
      .sort((a, b) => a.raised - b.raised || compare(a.gun, b.gun) || compare(a.cause, b.cause))
      .map(toFinding);
  },

  settle(state, before): Finding[] {
    const { book } = state;
    const settled = book.closed.filter(({ cleared }) => cleared! < before);
    if (settled.length > 0) book.closed = book.closed.filter(({ cleared }) => cleared! >= before);
    state.settledBefore = Math.max(state.settledBefore, before);
    return settled.map(toFinding);
  },

  settledBefore: ({ settledBefore }) => settledBefore,

  views: gunViews,

  jobs(context, state) {
    for (const finding of state.book.open) bringUpToDate(finding);
    return makeJobs(context.plant, state.book.open, gunViews(context, state));
  },
};

/** Of guns that have not sprayed yet: later their first reading tells nothing more. */
function noteFirstReadings({ guns }: PipelineState, tracks: ReadonlyMap<string, Track>): void {
  for (const [station, { firstTime }] of tracks) {
    const memory = guns[station];
    if (memory?.runs === 0) memory.firstReading = firstTime;
  }
}

function compare(left: string | null, right: string | null): number {
  const a = left ?? '';
  const b = right ?? '';
  return a < b ? -1 : a > b ? 1 : 0;
}
