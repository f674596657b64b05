import type {
  BaselineWords,
  Channel,
  Finding,
  LogEntry,
  Plant,
  RunTable,
  Settings,
  SettingsVersion,
} from '../collector/contract/index.ts';
import type { RunSpan, TickTape } from './pipeline-runs.ts';
import type { GunView, Job } from './views.ts';

/** Something noticed about a station beside its spray runs. Times are epoch ms of reading time. */
export type StationFact =
  /**
   * Missing while others of the site report: the 30 minutes of the contract are full 30 minutes after `time`; `until` is
   * its next reading, null while it lasts at the end of what is known. Halls that are switched off give none.
   */
  | { readonly kind: 'silence'; readonly station: string; readonly time: number; readonly until: number | null }
  /** The node's clock is off by `offsetMs` (its clock minus true time), noticed at `time`. */
  | {
      readonly kind: 'clock';
      readonly station: string;
      readonly time: number;
      readonly offsetMs: number | null;
      readonly detail: string;
    }
  /** `count` values of a channel outside its possible range within the hour before `time`, when it was noticed. */
  | {
      readonly kind: 'range';
      readonly station: string;
      readonly channel: Channel;
      readonly time: number;
      readonly count: number;
    }
  /** A channel kept one value while its neighbours moved, from `time`, noticed at `noticed`; `until` null while it lasts. */
  | {
      readonly kind: 'stuck';
      readonly station: string;
      readonly channel: Channel;
      readonly time: number;
      readonly noticed: number;
      readonly until: number | null;
      /** What was seen instead, where it did not keep one value. */
      readonly detail?: string | undefined;
    }
  /** A channel that was read before, or `never` though it is said to be fitted, is not read from `time` on while the gun sprays, noticed at `noticed`. */
  | {
      readonly kind: 'absent';
      readonly station: string;
      readonly channel: Channel;
      readonly time: number;
      readonly noticed: number;
      readonly until: number | null;
      readonly never: boolean;
    }
  /** Trigger on without conveying air from `time`, noticed at `noticed`. */
  | {
      readonly kind: 'no-air';
      readonly station: string;
      readonly time: number;
      readonly noticed: number;
      readonly until: number | null;
    }
  /** The pressure dew point has risen well over the station's usual, from `time`, noticed at `noticed`; both in Cel as they were then. */
  | {
      readonly kind: 'wet-air';
      readonly station: string;
      readonly time: number;
      readonly noticed: number;
      readonly until: number | null;
      readonly dewpointCel: number;
      readonly usualCel: number;
    };

/** Runs of a gun that are not in memory: whoever goes a long way back asks for them piece by piece. */
export interface EarlierRuns {
  /** Up to here they are earlier ones: all that end later are at hand. Epoch ms, a multiple of the tick. */
  readonly until: number;
  /** Those that end within (from, to], `to` no later than `until`. */
  between(from: number, to: number): RunSpan;
}

/** All that stage one made of one station's readings so far. */
export interface Track {
  readonly station: string;
  /** Empty table for plant-air points. */
  readonly runs: RunTable;
  /** Runs before these, where not all are at hand. */
  readonly earlier?: EarlierRuns;
  /** Ascending by the time at which they were noticed. */
  readonly facts: readonly StationFact[];
  readonly firstTime: number;
  readonly lastTime: number;
}

/** The fixed frame of an analysis. */
export interface SiteContext {
  readonly plant: Plant;
  /** Ascending by `adopted`; the first is adopted at 0. */
  readonly settings: readonly SettingsVersion[];
  /** Settings that are tried together instead, see `replayTogether`. */
  readonly together?: readonly Settings[];
  /** What people said of baselines; absent for nothing. */
  readonly words?: BaselineWords;
  /** What was found in these very tracks and log before, see `RunTape`; not where people had baselines learnt anew. */
  readonly tape?: TickTape;
}

/** A finding as it was known at its `asOf`: one line of `--snapshots`. */
export type Snapshot = Finding;

/**
 * Stage two: runs and facts of a whole site become findings. All state is in `State`, which survives
 * structured cloning; the same inputs give the same findings however the calls to `advance` are cut.
 */
export interface SitePipeline<State> {
  /** Raise when State changes meaning: stored states of another version are thrown away and computed anew. */
  readonly stateVersion: number;
  init(context: SiteContext): State;
  /**
   * Takes in everything with a time in (state's, upTo], in order of time, and returns the snapshots that
   * became due. `tracks` and `log` may hold more than that; what lies before the state's time is not looked at again.
   *
   * @param told where snapshots are added; null where nobody wants them, which spares their forecasts
   */
  advance(
    context: SiteContext,
    state: State,
    tracks: ReadonlyMap<string, Track>,
    log: readonly LogEntry[],
    upTo: number,
    told?: Snapshot[] | null,
  ): Snapshot[];
  /** Last state of every finding that the state holds, in the contract's order. */
  findings(context: SiteContext, state: State): Finding[];
  /** Takes findings that were cleared before a time out of the state, epoch ms: whoever wants them keeps them. */
  settle(state: State, before: number): Finding[];
  /** Findings that were cleared before this are not in the state any more; 0 where all are. */
  settledBefore(state: State): number;
  views(context: SiteContext, state: State): GunView[];
  jobs(context: SiteContext, state: State): Job[];
}
