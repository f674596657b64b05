import type { Finding, LogEntry } from '../../collector/contract/index.ts';
import { firstEndAfter } from '../runs/first-end-after.ts';
import type { SiteContext, SitePipeline, Snapshot, Track } from '../site.ts';
import { type CheckpointStore, Checkpoints } from './checkpoints.ts';
import { StateCopies } from './state-copies.ts';
import { TRACE_MS, type TraceKeeper } from './trace-keeper.ts';

/** Reading time that one slice of catching up takes at most, ms: other work gets its turn in between. Source: own choice:
 * a day of a hall takes well under a second. */
const SLICE_MS = 24 * 3_600_000;

/** Findings that were cleared so long ago leave the state, ms of reading time, so that it does not grow with age. Source: own choice: nothing but a
 * long rewind, to a state that has them, touches them then. */
const SETTLED_MS = 30 * 24 * 3_600_000;

/** What stage two is a function of. */
export interface SiteReadings {
  readonly context: SiteContext;
  readonly tracks: ReadonlyMap<string, Track>;
  readonly log: readonly LogEntry[];
}

/** Stage two, live: a state that is safe from readings still under way, and goes back when something comes late. */
export class SiteRunner<State> {
  readonly #pipeline: SitePipeline<State>;
  readonly #trace: TraceKeeper;
  readonly #checkpoints: Checkpoints<State>;
  readonly #copies = new StateCopies();
  #state: State | null = null;
  #time = 0;

  /**
   * @param trace told of the guns at every full hour
   * @param now wall clock, ms
   */
  constructor(pipeline: SitePipeline<State>, trace: TraceKeeper, now: () => number) {
    this.#pipeline = pipeline;
    this.#trace = trace;
    this.#checkpoints = new Checkpoints('live/site/', now);
  }

  /** Findings that were cleared before this have left the state, epoch ms. */
  get settledBefore(): number {
    return this.#state === null ? 0 : this.#pipeline.settledBefore(this.#state);
  }

  /** Reading time up to which the state knows everything. */
  get time(): number {
    return this.#time;
  }

  resume(store: CheckpointStore): void {
    this.#checkpoints.load(store);
    const saved = this.#checkpoints.before(Number.POSITIVE_INFINITY);
    if (saved === null) return;
    this.#state = saved.state;
    this.#time = saved.time;
  }

  /**
   * What has a time of `time` or later has changed.
   *
   * @param from what was told of before stays, epoch ms
   */
  rewind(time: number, from = 0): void {
    if (time > this.#time) return;
    const saved = this.#checkpoints.before(time);
    this.#checkpoints.dropFrom(time);
    this.#state = saved?.state ?? null;
    this.#time = saved?.time ?? 0;
    this.#trace.rewind(Math.max(this.#time, from));
  }

  /**
   * Takes in what lies up to `to`, or a slice of it.
   *
   * @param first of all readings: nothing happens before
   * @param newest reading time known
   * @returns snapshots that became due, and findings that have left the state
   */
  advance(
    site: SiteReadings,
    first: number,
    to: number,
    newest: number,
  ): { readonly told: Snapshot[]; readonly settled: Finding[] } {
    this.#state ??= this.#pipeline.init(site.context);
    if (!(to > this.#time)) return { told: [], settled: [] };
    const begin = Math.max(this.#time, first);
    const upTo = Math.min(to, begin + SLICE_MS, Math.max(begin, this.#checkpoints.dueAfter(newest)));
    const told: Snapshot[] = [];
    // Cut at full hours, so that the course of the guns is told at the same times however readings came.
    for (let time = begin; time < upTo; ) {
      const hour = Math.floor(time / TRACE_MS) * TRACE_MS + TRACE_MS;
      time = Math.min(hour, upTo);
      told.push(...this.#pipeline.advance(site.context, this.#state, site.tracks, site.log, time));
      if (time === hour && sprayed(site.tracks, time - TRACE_MS, time))
        this.#trace.note(this.#pipeline.views(site.context, this.#state), time);
    }
    this.#time = upTo;
    if (upTo < this.#checkpoints.dueAfter(newest)) return { told, settled: [] };
    const settled = this.#pipeline.settle(this.#state, upTo - SETTLED_MS);
    this.#checkpoints.add(upTo, this.#state, newest);
    return { told, settled };
  }

  /** A state that looks ahead of the safe one, up to `newest`; the safe one stays as it is. Use it before the next look. */
  ahead(site: SiteReadings, newest: number): { state: State; told: Snapshot[] } {
    const state = this.#copies.copy(this.#state ?? this.#pipeline.init(site.context));
    const told = this.#pipeline.advance(site.context, state, site.tracks, site.log, newest);
    return { state, told };
  }

  /** The safe state itself; null before anything was read. */
  get state(): State | null {
    return this.#state;
  }

  flush(store: CheckpointStore, newest: number): void {
    this.#checkpoints.flush(store, newest);
  }
}

/** Whether any gun had a run that ended within (from, to]: what guns look like is work, and most hours of a week are idle. */
function sprayed(tracks: ReadonlyMap<string, Track>, from: number, to: number): boolean {
  for (const { runs, earlier } of tracks.values()) {
    if (earlier !== undefined && from < earlier.until) {
      const rows = earlier.between(from, Math.min(to, earlier.until));
      if (rows.from < rows.to) return true;
    }
    const row = firstEndAfter(runs.columns.end, runs.length, from);
    if (row < runs.length && runs.columns.end[row]! <= to) return true;
  }
  return false;
}
