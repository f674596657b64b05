import type { Readings, States } from '../../collector/index.ts';
import { type CutContext, cutRuns } from '../runs/cut-runs.ts';
import { type CutState, HOLD_MS, startCut } from '../runs/cut-state.ts';
import { settleFacts } from '../runs/settle-facts.ts';
import type { StationFact, Track } from '../site.ts';
import { HELD, HeldRuns, type Holding } from './held-runs.ts';
import { beginCut, type CutFrom, damagedRunsFrom, type KeptCut, KeptCuts } from './kept-cuts.ts';
import { copyOf } from './kept-runs.ts';
import { firstStationChange, type HeldStation, knownStation } from './known-station.ts';
import { rowsBefore } from './rows-before.ts';
import { factsWithSettled, replaceSettledFacts } from './settled-facts.ts';
import { readHead, writeHead } from './station-head.ts';
import { StoredRunsComparison } from './stored-runs-comparison.ts';
import { firstRunChange } from './track-change.ts';
import { trackUpTo } from './track-up-to.ts';

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
   * @param isKeptReadable false where what it kept is of another program: then all is cut anew
   * @returns reading time from which stage two must look again; Infinity when nothing changed since
   */
  resume(store: CutFrom, isKeptReadable = true): number {
    const { station } = this.context;
    this.#newest = store.readings.stations().find((one) => one.station === station)?.lastTime ?? 0;
    if (isKeptReadable) this.#kept.load(store.states);
    const head = readHead(station, store.states);
    this.#goBackToSound(store);
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
    return trackUpTo(this.context, this.#state, growing, upTo, more);
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
    const old = knownStation(before, store.states, this.context.station, settledBefore);
    const kept = cut.runs;
    const oldRuns = copyOf(growing.table(kept), before.runs - kept);
    this.#kept.dropFrom(from);
    this.#state = cut;
    this.#factsFrom = Math.min(this.#factsFrom, settledBefore);
    growing.truncate(kept, cut.powders);
    this.#cutOn(store.readings);
    const changed = firstRunChange(oldRuns, growing.table(kept));
    this.runs.staleFrom(changed);
    const fresh = knownStation(this.#state, store.states, this.context.station, settledBefore);
    return Math.min(changed, firstStationChange(old, fresh));
  }

  /**
   * Cuts on from where the state stands, beside what the store has of it.
   *
   * @param before the station as it was known before; null where it was not
   * @returns reading time from which stage two must look again; Infinity where nothing is another than in the store
   */
  #cutAgain(store: CutFrom, before: HeldStation | null): number {
    const { station } = this.context;
    const { settledBefore } = this.#state;
    const old = before === null ? null : knownStation(before, store.states, station, settledBefore);
    const begin = this.#state.lastTime + 1;
    const stored = new StoredRunsComparison(this.runs, store.runs, this.#state.runs);
    this.#cutOn(store.readings, () => {
      stored.compare(this.runs.lastRun + 1, this.#state.runs);
      this.#shorten(begin);
    });
    stored.compare(Number.POSITIVE_INFINITY, this.#state.runs);
    if (old === null) return this.#state.frames > 0 ? this.#state.firstTime : Number.POSITIVE_INFINITY;
    const fresh = knownStation(this.#state, store.states, station, settledBefore);
    return Math.min(stored.changed, firstStationChange(old, fresh));
  }

  /** Up to what was told and no further: what is committed meanwhile would look late when it is told. */
  #cutOn(readings: Readings, onTheWay?: () => void): void {
    const { station } = this.context;
    for (const frames of readings.iterateFrames(station, this.#state.lastTime + 1, this.#newest + 1)) {
      let from = 0;
      while (from < frames.times.length) {
        const due = this.#kept.dueAfter(this.#newest);
        const rows = rowsBefore(frames, from, due);
        cutRuns(this.context, this.#state, rows, this.runs.growing);
        from += rows.times.length;
        if (from < frames.times.length || this.#state.lastTime >= due)
          this.#kept.add(this.#state, this.runs, this.#newest);
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

  /** To the newest state of before any damaged runs whose readings are left: they are cut anew. */
  #goBackToSound(store: CutFrom): void {
    for (let damaged = Number.POSITIVE_INFINITY; ; ) {
      this.#goBack(this.#kept.before(Number.POSITIVE_INFINITY, store.readings), store);
      // Going back reads runs, and so may be the first to meet one.
      const met = damagedRunsFrom(store, this.context.station);
      if (met >= damaged) return;
      damaged = met;
      this.#kept.dropFrom(damaged);
    }
  }

  /** To a state that was kept; without one to the first reading that is left. */
  #goBack(kept: KeptCut | null, store: CutFrom): void {
    this.#state = beginCut(kept, this.context.station, this.runs, store);
    this.#factsFrom = Math.min(this.#factsFrom, this.#state.settledBefore);
    if (kept !== null && this.#state !== kept.cut) this.#kept.dropFrom(0);
  }
}
