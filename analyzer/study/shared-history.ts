import { RUN_FIELDS, type RunField, type RunTable } from '../../collector/contract/index.ts';
import type { Reel } from '../pipeline-reel.ts';
import { RunTape } from '../pipeline-tape.ts';
import type { Track } from '../site.ts';
import type { SiteHistory } from './history.ts';

/** What another thread is told of a history: of its tape what is on it. */
export interface SharedHistory {
  readonly history: Omit<SiteHistory, 'tape'>;
  readonly reel: Reel | null;
}

/** A history as another thread is told of it, and as it has it: of runs that are on a tape no more than is counted of them there. */
export function toShared({ tape, ...history }: SiteHistory): SharedHistory {
  if (tape === undefined) return { history, reel: null };
  return { history: { ...history, tracks: withRuns(history.tracks, countedOnly) }, reel: tape.reel };
}

export function fromShared({ history, reel }: SharedHistory): SiteHistory {
  return reel === null ? history : { ...history, tape: new RunTape(reel, history.tracks) };
}

/** The same history with what another thread needs of its runs in memory that both share: years of them are most of what it is. */
export function sharedHistory(history: SiteHistory): SiteHistory {
  const reel = history.tape?.reel;
  const fields = reel === undefined ? RUN_FIELDS : COUNTED;
  const tracks = withRuns(history.tracks, (columns) => ({
    ...columns,
    ...Object.fromEntries(fields.map((field) => [field, inSharedMemory(columns[field])])),
  }));
  return { ...history, tracks, ...(reel === undefined ? {} : { tape: new RunTape(reel, tracks) }) };
}

/** What is still read of runs that are on a tape: when they were, how long was sprayed, and with which powder. */
const COUNTED = ['start', 'end', 'sprayMs', 'powder'] as const satisfies readonly RunField[];

type Columns = RunTable['columns'];

/** Whoever reads another column there is told at once: none is there. */
const countedOnly = (columns: Columns): Columns =>
  Object.fromEntries(COUNTED.map((field) => [field, columns[field]])) as Columns;

function withRuns(tracks: ReadonlyMap<string, Track>, change: (columns: Columns) => Columns): Map<string, Track> {
  return new Map(
    [...tracks].map(([station, track]) => [
      station,
      { ...track, runs: { ...track.runs, columns: change(track.runs.columns) } },
    ]),
  );
}

function inSharedMemory(column: Float64Array): Float64Array {
  if (column.buffer instanceof SharedArrayBuffer) return column;
  const shared = new Float64Array(new SharedArrayBuffer(column.byteLength));
  shared.set(column);
  return shared;
}
