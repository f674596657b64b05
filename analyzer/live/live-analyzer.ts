import type { Plant } from '../../collector/contract/index.ts';
import type { ClockReport, StationCommit, Store } from '../../collector/index.ts';
import { byRaised } from '../findings-ndjson.ts';
import { wordsIn } from '../pipeline-ticks.ts';
import type { SiteContext, SitePipeline, Track } from '../site.ts';
import { type Basis, basisOf, keepBasis, seenOn } from './basis.ts';
import { FindingsKeeper } from './findings-keeper.ts';
import { flushSteps } from './flush-steps.ts';
import { forgetStates } from './forget-states.ts';
import { GoneRuns } from './gone-runs.ts';
import { HELD, type Holding } from './held-runs.ts';
import { knownReach } from './known-reach.ts';
import { stationTracks } from './known-tracks.ts';
import { LastShown } from './last-shown.ts';
import { LiveCutters } from './live-cutters.ts';
import { LiveFacts } from './live-facts.ts';
import { LiveRecords } from './live-records.ts';
import { LiveSilences } from './live-silences.ts';
import type { LiveUpdate } from './live-update.ts';
import { type Pace, startPace } from './pace.ts';
import { SiteRunner } from './site-runner.ts';
import type { StationCutter } from './station-cutter.ts';
import { TraceKeeper } from './trace-keeper.ts';

export interface LiveOptions<State> {
  readonly store: Store;
  readonly plant: Plant;
  readonly pipeline: SitePipeline<State>;
  /** Wall clock, epoch ms. */
  readonly now: () => number;
  /** How many runs of each station stay in memory. */
  readonly holding?: Holding;
}

/** The analysis that follows a store: stage one by station, stage two for the site. It works in slices, so that whoever drives it can listen in between. */
export class LiveAnalyzer<State> {
  readonly #store: Store;
  readonly #plant: Plant;
  readonly #pipeline: SitePipeline<State>;
  readonly #now: () => number;
  readonly #cutters: LiveCutters;
  readonly #site: SiteRunner<State>;
  readonly #keeper = new FindingsKeeper();
  readonly #silences = new LiveSilences();
  readonly #trace = new TraceKeeper();
  readonly #facts = new LiveFacts();
  readonly #pace: Pace;
  readonly #basis: Omit<Basis, 'seen'>;
  readonly #records: LiveRecords;
  readonly #gone: GoneRuns;
  readonly #shown = new LastShown();
  /** Reading time from which stage two has to look again, and what it was when findings were last shown. */
  #changedFrom = Number.POSITIVE_INFINITY;
  #revisedFrom = Number.POSITIVE_INFINITY;
  #pending = false;

  constructor({ store, plant, pipeline, now, holding = HELD }: LiveOptions<State>) {
    this.#store = store;
    this.#plant = plant;
    this.#pipeline = pipeline;
    this.#now = now;
    this.#pace = startPace();
    this.#site = new SiteRunner(pipeline, this.#trace, now);
    this.#cutters = new LiveCutters(plant, now, holding, (cutter, from) => this.#writeDown(cutter, from));
    this.#records = new LiveRecords(store);
    this.#gone = new GoneRuns(store);
    this.#basis = basisOf(pipeline.stateVersion, plant);
  }

  /** Goes on from what the store holds; states that rest on another version or plant are thrown away. */
  resume(): void {
    const { states } = this.#store;
    const seen = seenOn(states, this.#basis);
    if (seen !== null) {
      this.#records.seen = seen;
      this.#site.resume(states);
      this.#silences.resume(states);
    } else {
      forgetStates(this.#store, this.#cutters.stations, this.#basis);
      this.#trace.rewind(0);
    }
    this.#keeper.resume(this.#store.findings, this.#site.settledBefore);
    this.#facts.resume(states);
    for (const cutter of this.#cutters.all) this.#changed(cutter.resume(this.#store));
    this.recordsChanged();
    this.#pending = true;
  }

  /** Readings have become durable; `isBurst`: more than stations send live. */
  committed(stations: readonly StationCommit[], isBurst = false): void {
    this.#cutters.note(stations);
    this.#pace.arrived(this.#now(), isBurst);
  }

  /** Readings came whose time is ahead of the receiver's clock. */
  clocksReported(reports: readonly ClockReport[]): void {
    this.#changed(this.#facts.takeClocks(reports));
  }

  /** Looks for log entries, settings and values out of range that are new. @returns true when there were any */
  recordsChanged(): boolean {
    const from = Math.min(this.#facts.takeCounters(this.#store.counters()), this.#records.look());
    this.#changed(from);
    return from < Number.POSITIVE_INFINITY;
  }

  /** True when all that was told is in what was shown last. */
  get settled(): boolean {
    return !this.#pending && !this.#cutters.areBehind;
  }

  /**
   * One slice of work.
   *
   * @returns an update to show, `busy` when there is more to do at once, or ms to wait for it (Infinity: nothing to do)
   */
  work(): { readonly update: LiveUpdate } | 'busy' | number {
    const aside = this.#pace.aside(this.#now());
    if (aside > 0) return aside;
    const next = this.#cutters.next();
    if (next !== null) {
      this.#changed(next.catchUp(this.#store));
      this.#pending = true;
      return 'busy';
    }
    if (!this.#pending) return Number.POSITIVE_INFINITY;
    const wait = this.#pace.wait(this.#now(), Math.max(0, this.#site.time - this.#changedFrom));
    if (wait > 0) return this.#cutters.areBehind ? 'busy' : wait;
    return this.#stageTwo();
  }

  /** Writes down what a restart needs. */
  flush(): void {
    for (const step of this.flushing()) step();
  }

  /** What `flush` does, as steps. */
  flushing(): Iterator<() => void> & Iterable<() => void> {
    const basis = (): void => {
      this.#facts.flush(this.#store);
      keepBasis(this.#store.states, { ...this.#basis, seen: this.#records.seen });
    };
    return flushSteps(this.#store, this.#cutters.all, basis, () => this.#flushSite(), this.#silences);
  }

  /** Writes down what stage two knows, without what has become untrue. Within the caller's transaction. */
  #flushSite(): void {
    this.#rewind();
    this.#site.flush(this.#store.states, this.#cutters.newest);
    this.#silences.flush(this.#store.states);
    this.#keeper.writeSettled(this.#store, this.#now());
  }

  /** On a long way of a station, so that its runs need not all be in memory. */
  #writeDown(cutter: StationCutter, from: number): void {
    this.#changed(from);
    this.#store.transaction(() => {
      this.#flushSite();
      cutter.flush(this.#store);
    });
  }

  /** Lets go of what stage two knew beyond a change. @returns whether it did */
  #rewind(): boolean {
    if (this.#changedFrom > this.#site.time) return false;
    const { from } = this.#gone;
    this.#revisedFrom = Math.min(this.#revisedFrom, Math.max(this.#changedFrom, from));
    const { settledBefore } = this.#site;
    this.#site.rewind(this.#changedFrom, from);
    if (this.#site.settledBefore < settledBefore) this.#keeper.resume(this.#store.findings, this.#site.settledBefore);
    return true;
  }

  #stageTwo(): { readonly update: LiveUpdate } | 'busy' | number {
    const began = this.#now();
    if (this.#rewind()) this.#pace.rewound(began);
    this.#changedFrom = Number.POSITIVE_INFINITY;
    const { known: cutters, newest } = this.#cutters;
    this.#pending &&= cutters.length > 0;
    if (!this.#pending) return Number.POSITIVE_INFINITY;
    const { first, safe, lastTimes } = knownReach(cutters, newest, this.#gone.goingOn(this.#site.time));
    const frame = { store: this.#store, plant: this.#plant, facts: this.#facts, exclusions: this.#records.exclusions };
    const raw = (since: number): Map<string, Track> => stationTracks(frame, cutters, newest, since);
    const tracks = this.#silences.tracks(this.#plant, raw, this.#looksFrom(newest));
    const site = { context: this.#context(), tracks, log: this.#records.log };
    const from = Math.max(this.#site.time, first);
    const { told: onTheWay, settled } = this.#site.advance(site, first, safe, newest);
    this.#keeper.tell(onTheWay);
    this.#keeper.settle(settled);
    this.#silences.settle(this.#plant, raw, lastTimes, this.#site.time);
    this.#pace.worked(began, this.#now(), this.#site.time - from);
    if (this.#trace.isFull) this.#trace.show(this.#store);
    if (this.#site.time < safe) return this.#onTheWay();
    const { state, told } = this.#site.ahead(site, newest);
    this.#cutters.rest();
    this.#keeper.tell(told);
    this.#pending = false;
    const update = this.#updateOf(state, newest, !this.#cutters.areBehind);
    const at = this.#now();
    const write = this.#keeper.changes(update.findings, this.#revisedFrom, at, first);
    if (write !== null || this.#trace.isStale || this.#gone.isUntold)
      this.#store.transaction(() => {
        write?.(this.#store);
        this.#trace.show(this.#store);
        this.#gone.tell(at);
      });
    this.#revisedFrom = Number.POSITIVE_INFINITY;
    this.#pace.finished(at);
    return this.#shown.show(update, at);
  }

  /** What is known so far, now and then during a long way through readings that were never shown. */
  #onTheWay(): { readonly update: LiveUpdate } | 'busy' {
    const { state, time } = this.#site;
    if (state === null || !this.#shown.isDue(time, this.#now())) return 'busy';
    return this.#shown.show(this.#updateOf(state, time, false), this.#now());
  }

  #updateOf(state: State, asOf: number, settled: boolean): LiveUpdate {
    return {
      asOf,
      settled,
      views: this.#pipeline.views(this.#context(), state),
      jobs: this.#pipeline.jobs(this.#context(), state),
      findings: this.#pipeline.findings(this.#context(), state).sort(byRaised),
    };
  }

  /** What was shown last. */
  get shown(): LiveUpdate | null {
    return this.#shown.update;
  }

  #context(): SiteContext {
    return { plant: this.#plant, settings: this.#records.settings, words: this.#records.words };
  }

  /** Reading time from which facts are looked at: words on a baseline that begin to hold go through all once more. */
  #looksFrom(newest: number): number {
    return wordsIn(this.#context(), this.#site.time, newest).length > 0 ? 0 : this.#site.time;
  }

  #changed(from: number): void {
    this.#silences.changed(from);
    this.#changedFrom = Math.min(this.#changedFrom, from);
    if (from < Number.POSITIVE_INFINITY) this.#pending = true;
  }
}
