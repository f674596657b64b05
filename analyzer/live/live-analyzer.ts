import type { LogEntry, Plant } from '../../collector/contract/index.ts';
import { Settings, type SettingsVersion } from '../../collector/contract/index.ts';
import type { StationCommit, Store } from '../../collector/index.ts';
import { byRaised } from '../findings-ndjson.ts';
import { CUT_STATE_VERSION } from '../runs/cut-state.ts';
import { siteTracks } from '../runs/site-tracks.ts';
import { cutContexts } from '../runs/track.ts';
import type { SiteContext, SitePipeline } from '../site.ts';
import { FindingsKeeper } from './findings-keeper.ts';
import type { LiveUpdate } from './live-update.ts';
import { type Pace, startPace } from './pace.ts';
import { SiteRunner } from './site-runner.ts';
import { StationCutter } from './station-cutter.ts';

/** A station that is silent for longer is taken to stay so, ms; before, its readings may just be under way. */
const UNDER_WAY_MS = 30 * 60_000;

/** Key under which the store keeps what all other states of the analyzer depend on. */
const BASIS_KEY = 'live-basis';

interface Basis {
  readonly pipeline: number;
  readonly cut: number;
  readonly plant: string;
  logId: number;
  settings: number;
}

export interface LiveOptions<State> {
  readonly store: Store;
  readonly plant: Plant;
  readonly pipeline: SitePipeline<State>;
  /** Wall clock, epoch ms. */
  readonly now: () => number;
}

/**
 * The analysis that follows a store: stage one by station, stage two for the site. All work is done in slices by
 * `work`, so that whoever drives it can listen in between.
 */
export class LiveAnalyzer<State> {
  readonly #store: Store;
  readonly #plant: Plant;
  readonly #pipeline: SitePipeline<State>;
  readonly #now: () => number;
  readonly #cutters = new Map<string, StationCutter>();
  readonly #site: SiteRunner<State>;
  readonly #keeper = new FindingsKeeper();
  readonly #pace: Pace;
  readonly #basis: Basis;
  #context: SiteContext;
  #log: readonly LogEntry[] = [];
  /** Reading time from which stage two has to look again, and what it was when findings were last shown. */
  #changedFrom = Number.POSITIVE_INFINITY;
  #revisedFrom = Number.POSITIVE_INFINITY;
  #pending = false;
  #shown: LiveUpdate | null = null;

  constructor({ store, plant, pipeline, now }: LiveOptions<State>) {
    this.#store = store;
    this.#plant = plant;
    this.#pipeline = pipeline;
    this.#now = now;
    this.#pace = startPace();
    this.#site = new SiteRunner(pipeline);
    for (const context of cutContexts(plant).values()) this.#cutters.set(context.station, new StationCutter(context));
    this.#context = { plant, settings: settingsHistory(store) };
    this.#basis = {
      pipeline: pipeline.stateVersion,
      cut: CUT_STATE_VERSION,
      plant: JSON.stringify(plant),
      logId: 0,
      settings: 0,
    };
  }

  /** Goes on from what the store holds; states of another version or plant are thrown away. */
  resume(): void {
    const { states } = this.#store;
    const bytes = states.get(BASIS_KEY);
    const before = bytes === null ? null : (JSON.parse(Buffer.from(bytes).toString('utf8')) as Basis);
    const { pipeline, cut, plant } = this.#basis;
    if (before?.pipeline === pipeline && before.cut === cut && before.plant === plant) {
      this.#basis.logId = before.logId;
      this.#basis.settings = before.settings;
      this.#site.resume(states);
    } else for (const key of states.keys('live/')) states.delete(key);
    this.#keeper.resume(this.#store.findings);
    this.#log = this.#store.log.list();
    for (const cutter of this.#cutters.values()) this.#changed(cutter.resume(this.#store));
    this.recordsChanged();
    this.#pending = true;
  }

  /** Readings have become durable. */
  committed(stations: readonly StationCommit[]): void {
    for (const { station, minTime, maxTime } of stations) this.#cutters.get(station)?.note(minTime, maxTime);
    this.#pace.arrived(this.#now());
  }

  /** Looks for log entries and settings that are new. @returns true when there were any */
  recordsChanged(): boolean {
    const last = this.#store.log.lastId();
    const settings = settingsHistory(this.#store);
    const version = settings.at(-1)!.version;
    if (last === this.#basis.logId && version === this.#basis.settings) return false;
    for (const { time } of this.#store.log.list({ afterId: this.#basis.logId })) this.#changed(time);
    for (const { version: one, adopted } of settings) if (one > this.#basis.settings) this.#changed(adopted);
    this.#log = this.#store.log.list();
    this.#context = { plant: this.#plant, settings };
    this.#basis.logId = last;
    this.#basis.settings = version;
    return true;
  }

  /** True when all that was told is in what was shown last. */
  get settled(): boolean {
    return !this.#pending && ![...this.#cutters.values()].some(({ dirty }) => dirty);
  }

  /**
   * One slice of work.
   *
   * @returns an update to show, `busy` when there is more to do at once, or ms to wait for it (Infinity: nothing to do)
   */
  work(): { readonly update: LiveUpdate } | 'busy' | number {
    for (const cutter of this.#cutters.values()) {
      if (!cutter.dirty) continue;
      this.#changed(cutter.catchUp(this.#store.readings));
      this.#pending = true;
      return 'busy';
    }
    if (!this.#pending) return Number.POSITIVE_INFINITY;
    const wait = this.#pace.wait(this.#now(), Math.max(0, this.#site.time - this.#changedFrom));
    if (wait > 0) return wait;
    return this.#stageTwo();
  }

  /** Writes down what a restart needs. */
  flush(): void {
    const newest = this.#newest();
    this.#store.transaction(() => {
      for (const cutter of this.#cutters.values()) cutter.flush(this.#store);
      this.#site.flush(this.#store.states, newest);
      this.#store.states.put(BASIS_KEY, Buffer.from(JSON.stringify(this.#basis)));
    });
  }

  #stageTwo(): { readonly update: LiveUpdate } | 'busy' | number {
    const began = this.#now();
    if (this.#changedFrom < Number.POSITIVE_INFINITY) {
      if (this.#changedFrom <= this.#site.time) {
        this.#revisedFrom = Math.min(this.#revisedFrom, this.#changedFrom);
        this.#site.rewind(this.#changedFrom);
        this.#pace.rewound(began);
      }
      this.#changedFrom = Number.POSITIVE_INFINITY;
    }
    const cutters = [...this.#cutters.values()].filter(({ hasReadings }) => hasReadings);
    const newest = this.#newest();
    if (cutters.length === 0) {
      this.#pending = false;
      return Number.POSITIVE_INFINITY;
    }
    const first = Math.min(...cutters.map(({ firstTime }) => firstTime));
    const under = cutters.map(({ lastTime }) => lastTime).filter((time) => newest - time < UNDER_WAY_MS);
    const safe = Math.min(newest, ...under);
    const raw = new Map(cutters.map((cutter) => [cutter.context.station, cutter.track(newest, [])]));
    const site = { context: this.#context, tracks: siteTracks(this.#plant, raw), log: this.#log };
    const from = Math.max(this.#site.time, first);
    this.#keeper.tell(this.#site.advance(site, first, safe, newest));
    this.#pace.worked(began, this.#now(), this.#site.time - from);
    if (this.#site.time < safe) return 'busy';
    const { state, told } = this.#site.ahead(site, newest);
    this.#keeper.tell(told);
    this.#pending = false;
    const update: LiveUpdate = {
      asOf: newest,
      settled: true,
      views: this.#pipeline.views(this.#context, state),
      jobs: this.#pipeline.jobs(this.#context, state),
      findings: this.#pipeline.findings(this.#context, state).sort(byRaised),
    };
    const at = this.#now();
    this.#store.transaction(() => this.#keeper.show(this.#store, update.findings, this.#revisedFrom, at));
    this.#revisedFrom = Number.POSITIVE_INFINITY;
    this.#pace.finished(at);
    this.#shown = update;
    return { update };
  }

  /** What was shown last. */
  get shown(): LiveUpdate | null {
    return this.#shown;
  }

  #changed(from: number): void {
    this.#changedFrom = Math.min(this.#changedFrom, from);
    if (from < Number.POSITIVE_INFINITY) this.#pending = true;
  }

  #newest(): number {
    return Math.max(0, ...[...this.#cutters.values()].map(({ lastTime }) => lastTime));
  }
}

/** The settings' versions, the first from the beginning on; defaults where the store has none. */
function settingsHistory(store: Store): SettingsVersion[] {
  const versions = store.settings.list();
  if (versions.length === 0) return [{ version: 1, adopted: 0, settings: Settings.parse({}) }];
  return versions.map(({ version, adopted, settings }, index) => ({
    version,
    adopted: index === 0 ? 0 : adopted,
    settings,
  }));
}
