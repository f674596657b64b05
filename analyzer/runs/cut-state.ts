import type { StationFact } from '../site.ts';
import { type Absences, startAbsences } from './absences.ts';
import { type FlowLevels, startFlowLevels } from './flow-levels.ts';
import { type Interleaving, startInterleaving } from './interleaved.ts';
import { type PowderTrust, startPowderTrust } from './powder-trust.ts';
import { PULL_CHANNELS } from './pull-channels.ts';
import { type Settling, type SettlingLimits, startSettling } from './settling.ts';
import { type SprayGap, startSprayGap } from './spray-gap.ts';
import { type Streaks, startStreaks } from './streaks.ts';
import { type DewPoint, startDewPoint } from './wet-air.ts';

/** Trigger and set output hold until the station was silent for this long, ms. Source: own choice: six reports of a slow node. */
export const HOLD_MS = 60_000;

/** A silence worth a fact, ms. Source: own choice, as for missing data. */
export const SILENCE_MS = 30 * 60_000;

/** Longer pulls are cut so that what is known advances while a trigger stays on, ms. Source: own choice. */
export const LONGEST_PIECE_MS = 120_000;

/** Readings while spraying since the trigger was pulled, or since the last piece of a long pull was closed. */
export interface Pull {
  /** Number of readings held; 0 and `open` false between pulls. */
  count: number;
  open: boolean;
  /** False for the later pieces of a long pull: nothing has to settle there. */
  fresh: boolean;
  /** It began with the trigger, not with a change of powder or set output: it teaches how fast air settles. */
  pulled: boolean;
  /** Trigger as inferred from flow: its last reading may belong to the release. */
  inferred: boolean;
  powder: number;
  start: number;
  times: Float64Array;
  readonly columns: Float64Array[];
}

/** The last idle readings of one channel, a ring. */
export interface IdleRing {
  readonly values: Float64Array;
  next: number;
  count: number;
}

/** All that stage one must remember of a station between two blocks. Survives structured cloning. */
export interface CutState {
  firstTime: number;
  /** Time of the last frame; 0 before the first. */
  lastTime: number;
  /** Instants, and readings of all channels, taken in. */
  frames: number;
  readings: number;
  /** Last trigger read, 1 or 0, NaN before the first; it counts while it `holds`. */
  trigger: number;
  triggerHolds: boolean;
  triggerSince: number;
  /** Times that air was switched on since the trigger last changed, and when the first was. */
  airCycles: number;
  firstCycle: number;
  airSince: number;
  /** The trigger contradicts the air: spraying is inferred from flow until it changes. */
  triggerDistrusted: boolean;
  /** Changes of the trigger in a row that the air agreed with, or, below nought, contradicted; and whether it says the opposite. */
  triggerVotes: number;
  triggerReversed: boolean;
  /** Conveying flow is above its threshold, with hysteresis. */
  flowing: boolean;
  /** Set output that holds, g/min; NaN when none. */
  setOutput: number;
  /** Share of recent readings of it that brought another value. */
  setChangeRate: number;
  /** Index into the run table's powders; -1 unknown. */
  powder: number;
  readonly powderTrust: PowderTrust;
  /** Supply temperature, Cel, and when it was read; NaN before the first. */
  temperature: number;
  temperatureTime: number;
  /** End of the last pull, epoch ms: idle readings count from some seconds after it. */
  released: number;
  /** Usual time between readings while spraying, ms. */
  interval: number;
  /** Usual conveying pressure while spraying, bar; 0 until known. */
  usualPressure: number;
  /** Changes between spraying and idle so far. */
  switches: number;
  /** Pulls without air in a row, when the first began, how long they were, and their fact's place in `facts` (-1: none). */
  airless: number;
  airlessSince: number;
  airlessMs: number;
  airlessFact: number;
  triggerFact: number;
  readonly pull: Pull;
  readonly idle: IdleRing[];
  readonly levels: FlowLevels;
  readonly airSettling: Settling;
  readonly outputSettling: Settling;
  readonly streaks: Streaks;
  readonly absences: Absences;
  readonly dewPoint: DewPoint;
  readonly interleaving: Interleaving;
  readonly sprayGap: SprayGap;
  /** Those that lasted beyond `settledBefore`; see `settleFacts`. */
  facts: StationFact[];
  settledBefore: number;
  /** Rows and powders of the run table that belong to this state. */
  runs: number;
  powders: number;
}

/** Raise when CutState changes meaning: stored states of another version are thrown away. */
export const CUT_STATE_VERSION = 11;

/** Rows of a buffer to begin with, and idle readings that the zero is the median of. Source: own choice: a minute or two. */
const FIRST_ROWS = 128;
const IDLE_KEPT = 32;

/** Source of 4 s, 8 s and 40 long pulls: own choice, because regulators and hoses settle within some seconds and output lags them. */
const AIR_SETTLING: SettlingLimits = {
  usualMs: 4000,
  leftOut: 0,
  shortestMs: 2000,
  longestMs: 10_000,
  tolerance: 0.01,
};
const OUTPUT_SETTLING: SettlingLimits = {
  usualMs: 8000,
  leftOut: 40,
  shortestMs: 2000,
  longestMs: 16_000,
  tolerance: 0.03,
};

/** State of a station of which nothing has been read. */
export function startCut(): CutState {
  return {
    firstTime: 0,
    lastTime: 0,
    frames: 0,
    readings: 0,
    trigger: Number.NaN,
    triggerHolds: false,
    triggerSince: 0,
    airCycles: 0,
    firstCycle: 0,
    airSince: 0,
    triggerDistrusted: false,
    triggerVotes: 0,
    triggerReversed: false,
    flowing: false,
    setOutput: Number.NaN,
    setChangeRate: 0,
    powder: -1,
    powderTrust: startPowderTrust(),
    temperature: Number.NaN,
    temperatureTime: 0,
    released: 0,
    interval: 0,
    usualPressure: 0,
    switches: 0,
    airless: 0,
    airlessSince: 0,
    airlessMs: 0,
    airlessFact: -1,
    triggerFact: -1,
    pull: {
      count: 0,
      open: false,
      fresh: true,
      pulled: true,
      inferred: false,
      powder: -1,
      start: 0,
      times: new Float64Array(FIRST_ROWS),
      columns: PULL_CHANNELS.map(() => new Float64Array(FIRST_ROWS)),
    },
    idle: PULL_CHANNELS.map(() => ({ values: new Float64Array(IDLE_KEPT), next: 0, count: 0 })),
    levels: startFlowLevels(),
    airSettling: startSettling(AIR_SETTLING.usualMs, AIR_SETTLING),
    // Output that was taken too early is low, and a level that was learnt from it hides wear: late readings until the meter's lag is known.
    outputSettling: startSettling(OUTPUT_SETTLING.longestMs, OUTPUT_SETTLING),
    streaks: startStreaks(),
    absences: startAbsences(),
    dewPoint: startDewPoint(),
    interleaving: startInterleaving(),
    sprayGap: startSprayGap(),
    facts: [],
    settledBefore: 0,
    runs: 0,
    powders: 0,
  };
}
