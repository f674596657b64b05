import type { Channel, Frames, RunTable } from '../../collector/contract/index.ts';
import type { Readings, Runs, States } from '../../collector/index.ts';
import { type CutContext, cutRuns, passTime } from '../runs/cut-runs.ts';
import { type CutState, HOLD_MS, startCut } from '../runs/cut-state.ts';
import { GrowingRuns } from '../runs/growing-runs.ts';
import { trackOf } from '../runs/track.ts';
import type { StationFact, Track } from '../site.ts';
import { Checkpoints } from './checkpoints.ts';
import { copyOf, withPowders } from './kept-runs.ts';
import { packState, unpackState } from './state-bytes.ts';
import { firstFactChange, firstRunChange } from './track-change.ts';

/** What a restart compares with: the station as it was when it was last written down. */
interface Head {
  readonly facts: readonly StationFact[];
  readonly firstTime: number;
  readonly lastTime: number;
  readonly powders: readonly string[];
}

interface Saved {
  readonly cut: CutState;
  readonly powders: readonly string[];
}

/** Powders that a station had sprayed when its state was last kept. */
export function keptPowders(station: string, states: States): readonly string[] {
  const bytes = states.get(headKey(station));
  return bytes === null ? [] : unpackState<Head>(bytes).powders;
}

const headKey = (station: string): string => `live/${station}/head`;

/** Stage one of one station, live: follows the store, and goes back when readings come late. */
export class StationCutter {
  readonly context: CutContext;
  readonly #checkpoints: Checkpoints<Saved>;
  readonly #prefix: string;
  #state: CutState = startCut();
  #runs: GrowingRuns;
  #dirtyFrom = Number.POSITIVE_INFINITY;
  /** Newest reading that is known to be in the store. */
  #newest = 0;
  /** Runs that start from here on are not in the store as they are here. */
  #staleFrom = Number.POSITIVE_INFINITY;
  #headStale = false;

  /** @param now wall clock, ms */
  constructor(context: CutContext, now: () => number) {
    this.context = context;
    this.#prefix = `live/${context.station}/`;
    this.#checkpoints = new Checkpoints(`${this.#prefix}cut/`, now);
    this.#runs = new GrowingRuns(context.station);
  }

  get lastTime(): number {
    return this.#state.lastTime;
  }

  get hasReadings(): boolean {
    return this.#state.frames > 0;
  }

  /** Readings within [minTime, maxTime] are new. */
  note(minTime: number, maxTime: number): void {
    this.#dirtyFrom = Math.min(this.#dirtyFrom, minTime);
    this.#newest = Math.max(this.#newest, maxTime);
  }

  /**
   * Goes on from what an earlier process wrote down.
   *
   * @returns reading time from which stage two must look again; Infinity when nothing changed since
   */
  resume(store: { readonly readings: Readings; readonly runs: Runs; readonly states: States }): number {
    this.#newest = store.readings.stations().find(({ station }) => station === this.context.station)?.lastTime ?? 0;
    this.#checkpoints.load(store.states);
    const bytes = store.states.get(headKey(this.context.station));
    const head = bytes === null ? null : unpackState<Head>(bytes);
    const table = store.runs.load(this.context.station);
    const saved = this.#savedBefore(Number.POSITIVE_INFINITY, store.readings);
    if (saved !== null && saved.cut.runs <= table.length) {
      this.#state = saved.cut;
      this.#runs = withPowders(table, saved.powders);
      this.#runs.truncate(saved.cut.runs, saved.cut.powders);
    }
    this.#cutOn(store.readings);
    if (this.#state.readings !== store.readings.counts(this.context.station).readings) {
      // Readings came in before the checkpoint and were never looked at.
      this.#checkpoints.dropFrom(0);
      this.#startAnew(store.readings, table);
      this.#cutOn(store.readings);
    }
    this.#headStale = true;
    this.#staleFrom = firstRunChange(table, this.#runs.table());
    if (head === null) return this.#state.frames > 0 ? this.#state.firstTime : Number.POSITIVE_INFINITY;
    return this.#changeSince({ ...head, table });
  }

  /**
   * Takes in what is new.
   *
   * @returns reading time from which stage two must look again; Infinity when it saw nothing of it
   */
  catchUp(readings: Readings): number {
    const from = this.#dirtyFrom;
    this.#dirtyFrom = Number.POSITIVE_INFINITY;
    if (from === Number.POSITIVE_INFINITY) return from;
    this.#headStale = true;
    const { firstTime, lastTime, facts, runs: rows } = this.#state;
    if (from > lastTime) {
      this.#runs.truncate(rows, this.#state.powders);
      this.#cutOn(readings);
      if (this.#runs.length > rows) this.#stale(this.#runs.table(rows).columns.start[0]!);
      return from - lastTime <= HOLD_MS ? lastTime + 1 : from;
    }
    const saved = this.#savedBefore(from, readings);
    const kept = saved?.cut.runs ?? 0;
    const old = copyOf(this.#runs.table(kept), rows - kept);
    this.#checkpoints.dropFrom(from);
    if (saved === null) this.#startAnew(readings, this.#runs.table());
    else {
      this.#state = saved.cut;
      this.#runs.truncate(saved.cut.runs, saved.cut.powders);
    }
    this.#cutOn(readings);
    const fresh = this.#runs.table(kept);
    this.#stale(firstRunChange(old, fresh));
    return this.#changeSince({ firstTime, lastTime, facts, table: old }, fresh);
  }

  /** What is known of the station when the site is known up to `upTo`. The runs are a view: use it before the next `catchUp`. */
  track(upTo: number, more: readonly StationFact[]): Track {
    this.#runs.truncate(this.#state.runs, this.#state.powders);
    if (this.#state.pull.open && upTo - this.#state.lastTime > HOLD_MS) {
      // The trigger no longer holds; but a late reading may still show that it did, so the true state stays as it is.
      const closed = structuredClone(this.#state);
      passTime(this.context, closed, upTo, this.#runs);
      return trackOf(closed, this.#runs, upTo, more);
    }
    return trackOf(this.#state, this.#runs, upTo, more);
  }

  get firstTime(): number {
    return this.#state.firstTime;
  }

  /** True when there is something for `flush` to write. */
  get stale(): boolean {
    return this.#headStale;
  }

  /** Writes down what a restart needs. Within the caller's transaction. */
  flush(store: { readonly runs: Runs; readonly states: States }): void {
    if (!this.#headStale) return;
    this.#headStale = false;
    this.#runs.truncate(this.#state.runs, this.#state.powders);
    if (this.#staleFrom < Number.POSITIVE_INFINITY) {
      const { columns, length } = this.#runs.table();
      let row = length;
      while (row > 0 && columns.start[row - 1]! >= this.#staleFrom) row--;
      store.runs.replace(this.context.station, this.#staleFrom, this.#runs.table(row));
      this.#staleFrom = Number.POSITIVE_INFINITY;
    }
    const { facts, firstTime, lastTime } = this.#state;
    const { powders } = this.#runs.table();
    store.states.put(headKey(this.context.station), packState({ facts, firstTime, lastTime, powders } satisfies Head));
    this.#checkpoints.flush(store.states, lastTime);
  }

  /** Up to what was told and no further: what is committed meanwhile would look late when it is told. */
  #cutOn(readings: Readings): void {
    const { station } = this.context;
    for (const frames of readings.iterateFrames(station, this.#state.lastTime + 1, this.#newest + 1)) {
      let from = 0;
      while (from < frames.times.length) {
        const due = this.#checkpoints.dueAfter(this.#newest);
        let to = from;
        while (to < frames.times.length && (to === from || frames.times[to]! < due)) to++;
        cutRuns(this.context, this.#state, rowsOf(frames, from, to), this.#runs);
        if (to < frames.times.length || this.#state.lastTime >= due) this.#checkpoint();
        from = to;
      }
    }
  }

  #checkpoint(): void {
    const { powders } = this.#runs.table();
    this.#checkpoints.add(this.#state.lastTime, { cut: this.#state, powders }, this.#newest);
  }

  /** The newest checkpoint before a time from which nothing is missing that retention took away. */
  #savedBefore(time: number, readings: Readings): Saved | null {
    const saved = this.#checkpoints.before(time)?.state ?? null;
    const gone = saved === null ? null : readings.thinnedAway(this.context.station);
    return gone !== null && saved!.cut.lastTime < gone.rawFrom - 1 ? null : saved;
  }

  /** From the first reading that is left; runs of readings that retention took away stay as they were found. */
  #startAnew(readings: Readings, table: RunTable): void {
    this.#state = startCut();
    this.#runs.truncate(0, 0);
    const gone = readings.thinnedAway(this.context.station);
    if (gone === null) return;
    let kept = 0;
    while (kept < table.length && table.columns.start[kept]! < gone.rawFrom) kept++;
    if (kept > 0) this.#runs = withPowders(table, table.powders, kept);
    this.#state.runs = kept;
    this.#state.powders = this.#runs.powderCount;
    this.#state.frames = gone.frames;
    this.#state.readings = gone.readings;
    this.#state.firstTime = kept > 0 ? table.columns.start[0]! : gone.rawFrom;
    this.#state.lastTime = gone.rawFrom - 1;
  }

  #stale(start: number): void {
    this.#staleFrom = Math.min(this.#staleFrom, start);
  }

  #changeSince(
    old: Omit<Head, 'powders'> & { readonly table: RunTable },
    fresh: RunTable = this.#runs.table(),
  ): number {
    const { facts, firstTime, lastTime } = this.#state;
    let from = Math.min(firstRunChange(old.table, fresh), firstFactChange(old.facts, facts));
    if (old.firstTime !== firstTime) from = Math.min(from, old.firstTime || firstTime, firstTime);
    if (old.lastTime !== lastTime) from = Math.min(from, old.lastTime + 1);
    return from;
  }
}

/** Rows [from, to) of frames as views. */
function rowsOf(frames: Frames, from: number, to: number): Frames {
  if (from === 0 && to === frames.times.length) return frames;
  const columns: Partial<Record<Channel, Float64Array>> = {};
  for (const [name, column] of Object.entries(frames.columns)) columns[name as Channel] = column.subarray(from, to);
  return { ...frames, times: frames.times.subarray(from, to), columns };
}
