import type { Channel, Frames } from '../../collector/contract/index.ts';
import type { Readings, States } from '../../collector/index.ts';
import { type CutContext, cutRuns, passTime } from '../runs/cut-runs.ts';
import { type CutState, HOLD_MS, startCut } from '../runs/cut-state.ts';
import { settleFacts } from '../runs/settle-facts.ts';
import { trackOf } from '../runs/track.ts';
import type { StationFact, Track } from '../site.ts';
import { HELD, HeldRuns, type Holding } from './held-runs.ts';
import { beginCut, type CutFrom, type KeptCut, KeptCuts } from './kept-cuts.ts';
import { copyOf } from './kept-runs.ts';
import { factsWithSettled, replaceSettledFacts } from './settled-facts.ts';
import { type Head, readHead, writeHead } from './station-head.ts';
import { firstFactChange, firstRunChange } from './track-change.ts';

/** The station as it is or was known. */
type Known = Pick<Head, 'facts' | 'settledBefore' | 'firstTime' | 'lastTime'>;

/**
 * Stage one of one station, live: follows the store, and goes back when readings come late. Of its runs it holds the newest, of its facts
 * those that may still matter; the others are in the store.
 */
export class StationCutter {
  readonly context: CutContext;
  readonly runs: HeldRuns;
  readonly #kept: KeptCuts;
  /** Has the runs written down on a long way; null where nothing may be written. */
  readonly #writeDown: ((changedFrom: number) => void) | null;
  #state: CutState = startCut();
  #dirtyFrom = Number.POSITIVE_INFINITY;
  /** Newest reading that is known to be in the store. */
  #newest = 0;
  /** Facts that were over from here on are not in the store as they are here; Infinity where none are to be written. */
  #factsFrom = Number.POSITIVE_INFINITY;
  #headStale = false;

  /**
   * @param now wall clock, ms
   * @param writeDown called on a long way with the reading time from which stage two has to look again, to call `flush` within a transaction; null
   * where the store is only read
   */
  constructor(
    context: CutContext,
    now: () => number,
    holding: Holding = HELD,
    writeDown: ((changedFrom: number) => void) | null = null,
  ) {
    this.context = context;
    this.#writeDown = writeDown;
    this.#kept = new KeptCuts(context.station, now);
    this.runs = new HeldRuns(context.station, holding);
  }

  get lastTime(): number {
    return this.#state.lastTime;
  }

  get firstTime(): number {
    return this.#state.firstTime;
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
  resume(store: CutFrom): number {
    const { station } = this.context;
    this.#newest = store.readings.stations().find((one) => one.station === station)?.lastTime ?? 0;
    this.#kept.load(store.states);
    const head = readHead(station, store.states);
    this.#goBack(this.#kept.before(Number.POSITIVE_INFINITY, store.readings), store);
    const since = this.#cutAgain(store, head);
    this.#headStale = true;
    if (this.#state.readings === store.readings.counts(station).readings) return since;
    // Readings came in before the checkpoint and were never looked at.
    this.#kept.dropFrom(0);
    this.#goBack(null, store);
    return Math.min(since, this.#cutAgain(store, head));
  }

  /**
   * Takes in what is new.
   *
   * @returns reading time from which stage two must look again; Infinity when it saw nothing of it
   */
  catchUp(store: CutFrom): number {
    const from = this.#dirtyFrom;
    this.#dirtyFrom = Number.POSITIVE_INFINITY;
    if (from === Number.POSITIVE_INFINITY) return from;
    this.#headStale = true;
    const before = this.#state;
    this.runs.growing.truncate(before.runs, before.powders);
    if (from > before.lastTime) return this.#cutNew(store, from);
    const kept = this.#kept.before(from, store.readings);
    if (kept !== null && this.runs.reachBackTo(kept.cut.runs)) return this.#cutLate(store, from, kept);
    // A long way back: what is known then has to be in the store as it is here, to compare with.
    this.#writeDown?.(Number.POSITIVE_INFINITY);
    this.#kept.dropFrom(from);
    this.#goBack(kept, store);
    return this.#cutAgain(store, before);
  }

  /** What is known of the station when the site is known up to `upTo`. The runs are a view: use it before the next `catchUp`. */
  track(upTo: number, more: readonly StationFact[]): Track {
    const { growing } = this.runs;
    growing.truncate(this.#state.runs, this.#state.powders);
    if (this.#state.pull.open && upTo - this.#state.lastTime > HOLD_MS) {
      // The trigger no longer holds; but a late reading may still show that it did, so the true state stays as it is.
      const closed = structuredClone(this.#state);
      passTime(this.context, closed, upTo, growing);
      return trackOf(closed, growing, upTo, more);
    }
    return trackOf(this.#state, growing, upTo, more);
  }

  /** Facts that were over before those of its track, and at `from` or later. */
  settled(states: Pick<States, 'get' | 'keys'>, from: number): StationFact[] {
    const { settledBefore } = this.#state;
    return factsWithSettled({ facts: [], settledBefore }, states, this.context.station, from);
  }

  /** True when there is something for `flush` to write. */
  get stale(): boolean {
    return this.#headStale;
  }

  /**
   * Writes down what a restart needs, and lets go of what is in the store then. Within the caller's transaction.
   *
   * @param settledBefore facts that were over before this need not be in memory, epoch ms
   */
  flush({ runs, states }: Pick<CutFrom, 'runs' | 'states'>, settledBefore = 0): void {
    if (!this.#headStale) return;
    this.#headStale = false;
    const { station } = this.context;
    this.runs.growing.truncate(this.#state.runs, this.#state.powders);
    this.runs.write(runs);
    const since = Math.min(this.#factsFrom, this.#state.settledBefore);
    const settled = settleFacts(this.#state, settledBefore);
    if (settled.length > 0 || this.#factsFrom < Number.POSITIVE_INFINITY)
      replaceSettledFacts(states, station, since, settled);
    this.#factsFrom = Number.POSITIVE_INFINITY;
    const { facts, settledBefore: before, firstTime, lastTime } = this.#state;
    const { powders } = this.runs.growing.table();
    writeHead(station, states, { facts, settledBefore: before, firstTime, lastTime, powders });
    this.#kept.flush(states, lastTime);
    this.runs.letGo(lastTime);
  }

  /** Takes in readings that are all later than those known. */
  #cutNew(store: CutFrom, from: number): number {
    const { lastTime } = this.#state;
    let written = this.#state.runs;
    const take = (): void => {
      this.runs.staleRows(written);
      written = this.#state.runs;
    };
    this.#cutOn(store.readings, () => {
      take();
      this.#shorten(lastTime + 1);
    });
    take();
    return from - lastTime <= HOLD_MS ? lastTime + 1 : from;
  }

  /** Takes in readings some of which are late, beside what memory has of the time since a state. */
  #cutLate(store: CutFrom, from: number, { cut }: KeptCut): number {
    const { growing } = this.runs;
    const before = this.#state;
    const { settledBefore } = cut;
    const facts = factsWithSettled(before, store.states, this.context.station, settledBefore);
    const kept = cut.runs;
    const old = copyOf(growing.table(kept), before.runs - kept);
    this.#kept.dropFrom(from);
    this.#state = cut;
    this.#factsFrom = Math.min(this.#factsFrom, settledBefore);
    growing.truncate(kept, cut.powders);
    this.#cutOn(store.readings);
    const changed = firstRunChange(old, growing.table(kept));
    this.runs.staleFrom(changed);
    return Math.min(changed, this.#changeSince(before, facts, store.states, settledBefore));
  }

  /**
   * Cuts on from where the state stands, beside what the store has of it.
   *
   * @param before the station as it was known before; null where it was not
   * @returns reading time from which stage two must look again; Infinity where nothing is another than in the store
   */
  #cutAgain(store: CutFrom, before: Known | null): number {
    const { station } = this.context;
    const { settledBefore } = this.#state;
    const facts = before === null ? [] : factsWithSettled(before, store.states, station, settledBefore);
    const begin = this.#state.lastTime + 1;
    let compared = this.#state.runs;
    let upTo = this.runs.lastRun + 1;
    let changed = Number.POSITIVE_INFINITY;
    const compare = (to: number): void => {
      // Once written, the store has nothing of the old ones from there on.
      if (changed < Number.POSITIVE_INFINITY) this.runs.staleRows(compared);
      else {
        changed = firstRunChange(store.runs.load(station, upTo, to), this.runs.growing.table(compared));
        this.runs.staleFrom(changed);
      }
      compared = this.#state.runs;
      upTo = to;
    };
    this.#cutOn(store.readings, () => {
      compare(this.runs.lastRun + 1);
      this.#shorten(begin);
    });
    compare(Number.POSITIVE_INFINITY);
    if (before === null) return this.#state.frames > 0 ? this.#state.firstTime : Number.POSITIVE_INFINITY;
    return Math.min(changed, this.#changeSince(before, facts, store.states, settledBefore));
  }

  /** Up to what was told and no further: what is committed meanwhile would look late when it is told. */
  #cutOn(readings: Readings, onTheWay?: () => void): void {
    const { station } = this.context;
    for (const frames of readings.iterateFrames(station, this.#state.lastTime + 1, this.#newest + 1)) {
      let from = 0;
      while (from < frames.times.length) {
        const due = this.#kept.dueAfter(this.#newest);
        let to = from;
        while (to < frames.times.length && (to === from || frames.times[to]! < due)) to++;
        cutRuns(this.context, this.#state, rowsOf(frames, from, to), this.runs.growing);
        if (to < frames.times.length || this.#state.lastTime >= due)
          this.#kept.add(this.#state, this.runs, this.#newest);
        from = to;
      }
      if (this.runs.areMany) onTheWay?.();
    }
  }

  /** Lets go of some runs on a long way: of those that the store has at once, of others when they are written down. */
  #shorten(changedFrom: number): void {
    this.#headStale = true;
    if (this.runs.areStale) this.#writeDown?.(changedFrom);
    else this.runs.letGo(this.#state.lastTime);
  }

  /** To a state that was kept; without one to the first reading that is left. */
  #goBack(kept: KeptCut | null, store: CutFrom): void {
    this.#state = beginCut(kept, this.context.station, this.runs, store);
    this.#factsFrom = Math.min(this.#factsFrom, this.#state.settledBefore);
    if (kept !== null && this.#state !== kept.cut) this.#kept.dropFrom(0);
  }

  #changeSince(old: Known, oldFacts: readonly StationFact[], states: States, since: number): number {
    const { firstTime, lastTime } = this.#state;
    let from = firstFactChange(oldFacts, factsWithSettled(this.#state, states, this.context.station, since));
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
