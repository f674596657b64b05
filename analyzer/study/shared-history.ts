import type { RunField, RunTable } from '../../collector/contract/index.ts';
import type { Reel } from '../pipeline-reel.ts';
import { RunTape } from '../pipeline-tape.ts';
import type { Track } from '../site.ts';
import type { SiteHistory } from './history.ts';

/** What another thread is told of a history: of its tape what is on it. */
export interface SharedHistory {
  readonly history: Omit<SiteHistory, 'tape'>;
  readonly reel: Reel | null;
}

/** A history as another thread is told of it, and as it has it. */
export function toShared({ tape, ...history }: SiteHistory): SharedHistory {
  return { history, reel: tape?.reel ?? null };
}

export function fromShared({ history, reel }: SharedHistory): SiteHistory {
  return reel === null ? history : { ...history, tape: new RunTape(reel, history.tracks) };
}

/** The same history with its runs in memory that threads share: years of them are most of what it is. */
export function sharedHistory(history: SiteHistory): SiteHistory {
  const tracks = new Map([...history.tracks].map(([station, track]) => [station, sharedTrack(track)]));
  const reel = history.tape?.reel;
  return { ...history, tracks, ...(reel === undefined ? {} : { tape: new RunTape(reel, tracks) }) };
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
