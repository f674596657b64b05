import type { Readings, Runs, States } from '../../collector/index.ts';
import { type CutState, startCut } from '../runs/cut-state.ts';
import { Checkpoints } from './checkpoints.ts';
import { areStored, type HeldRuns } from './held-runs.ts';

/** What cutting goes on from. */
export interface CutFrom {
  readonly readings: Readings;
  readonly runs: Runs;
  readonly states: States;
}

export interface KeptCut {
  readonly cut: CutState;
  readonly powders: readonly string[];
  /** Start of the last run that belongs to it; 0 where none does. */
  readonly lastRun: number;
}

/** States of stage one of one station that it can go back to. */
export class KeptCuts {
  readonly #station: string;
  readonly #points: Checkpoints<KeptCut>;

  /** @param now wall clock, ms */
  constructor(station: string, now: () => number) {
    this.#station = station;
    this.#points = new Checkpoints(`live/${station}/cut/`, now);
  }

  load(states: States): void {
    this.#points.load(states);
  }

  /** Reading time at which the next is due. */
  dueAfter(newest: number): number {
    return this.#points.dueAfter(newest);
  }

  add(cut: CutState, runs: HeldRuns, newest: number): void {
    const { powders } = runs.growing.table();
    this.#points.add(cut.lastTime, { cut, powders, lastRun: runs.lastRun }, newest);
  }

  /** Forgets what holds at `time` or later. */
  dropFrom(time: number): void {
    this.#points.dropFrom(time);
  }

  /** The newest of before a time of which no reading is missing that retention took away; null where there is none. */
  before(time: number, readings: Readings): KeptCut | null {
    const kept = this.#points.before(time)?.state ?? null;
    const gone = kept === null ? null : readings.thinnedAway(this.#station);
    return gone !== null && kept!.cut.lastTime < gone.rawFrom - 1 ? null : kept;
  }

  flush(states: States, newest: number): void {
    this.#points.flush(states, newest);
  }
}

/** From when on damaged runs of a station can be cut anew, because their readings are left, epoch ms; Infinity where none can. */
export function damagedRunsFrom({ readings, runs }: Pick<CutFrom, 'readings' | 'runs'>, station: string): number {
  const rawFrom = readings.thinnedAway(station)?.rawFrom ?? 0;
  const lost = runs.damaged(station, rawFrom);
  return lost.reduce((first, { from }) => Math.min(first, Math.max(from, rawFrom)), Number.POSITIVE_INFINITY);
}

/**
 * The state that cutting goes on from, with the runs that belong to it: what was kept, or where it is of no use the first reading that is left.
 * Runs and facts of readings that retention took away stay as they were found.
 */
export function beginCut(kept: KeptCut | null, station: string, runs: HeldRuns, store: CutFrom): CutState {
  if (kept !== null && areStored(kept.lastRun, store.runs, station)) {
    const { cut, powders, lastRun } = kept;
    runs.begin(store.runs, { count: cut.runs, lastRun, powders: powders.slice(0, cut.powders) }, cut.lastTime);
    return cut;
  }
  const state = startCut();
  runs.clear();
  const gone = store.readings.thinnedAway(station);
  if (gone === null) return state;
  const { columns, length: count, powders } = store.runs.load(station, 0, gone.rawFrom, ['start', 'powder']);
  state.lastTime = gone.rawFrom - 1;
  runs.begin(store.runs, { count, lastRun: columns.start[count - 1] ?? 0, powders }, state.lastTime);
  state.runs = count;
  state.powders = runs.growing.powderCount;
  state.frames = gone.frames;
  state.readings = gone.readings;
  state.firstTime = count > 0 ? columns.start[0]! : gone.rawFrom;
  state.settledBefore = gone.rawFrom;
  return state;
}
