import type { RunField, RunTable } from '../../collector/contract/index.ts';
import type { Track } from '../site.ts';
import type { SiteHistory } from './history.ts';

/** What another thread has of a history: all but its tape, which is its own to make. */
export type SharedHistory = Omit<SiteHistory, 'tape'>;

/** The same history with its runs in memory that threads share: years of them are most of what it is. */
export function sharedHistory(history: SiteHistory): SiteHistory {
  const tracks = new Map([...history.tracks].map(([station, track]) => [station, sharedTrack(track)]));
  return { ...history, tracks };
}

function sharedTrack(track: Track): Track {
  return { ...track, runs: sharedRuns(track.runs) };
}

function sharedRuns(runs: RunTable): RunTable {
  const columns = Object.fromEntries(
    Object.entries(runs.columns).map(([field, column]) => [field, inSharedMemory(column)]),
  ) as Record<RunField, Float64Array>;
  return { ...runs, columns };
}

function inSharedMemory(column: Float64Array): Float64Array {
  const shared = new Float64Array(new SharedArrayBuffer(column.byteLength));
  shared.set(column);
  return shared;
}
