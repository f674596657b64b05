import type { LogEntry } from '../../collector/contract/index.ts';
import { type CusumState, cusum } from '../detect/cusum.ts';
import { newZeroTracker, type ZeroTracker } from '../detect/zero-tracker.ts';
import type { PastLife } from '../forecast/past-lives.ts';
import type { OutputSource } from './add-run.ts';
import type { Commissioning } from './commissioning.ts';
import { type JumpingReadings, newJumpingReadings } from './jumping-readings.ts';
import { type LowGauge, newLowGauge } from './low-gauge.ts';
import { type MotiveLine, newMotiveLine } from './motive-line.ts';
import type { OpenBlock } from './open-block.ts';
import { newScalePull, type ScalePull } from './scale-pull.ts';
import { newSteadyLevel, type SteadyLevel } from './steady-level.ts';
import type { StepCase } from './step-case.ts';
import type { UnreadPowder } from './unread-powder.ts';
import { newUsualOutput, type UsualOutput } from './usual-output.ts';

/** A sudden return to like-new that no log entry explains. */
export interface SilentChange {
  readonly part: string;
  /** When it seems to have happened and when it was noticed, epoch ms. */
  readonly time: number;
  readonly noticed: number;
  /** ln of conveying air over a new part's before and after it, and the deviation of the gain. */
  readonly before: number;
  readonly after: number;
  readonly sd: number;
  /** Spray hours of the part until then; null where its start is not known. */
  readonly sprayHours: number | null;
  /** The analysis takes the part as new already; false where it only asks. */
  readonly counted: boolean;
}

/** All that is remembered of one gun beside the pool's joint belief. Plain data: part of the pipeline's state. */
export interface GunMemory {
  id: string;
  open: OpenBlock[];
  source: OutputSource;
  zeros: ZeroTracker;
  jumps: JumpingReadings;
  lowGauge: LowGauge;
  /** Its first reading, sprayed or idle, epoch ms; 0 before one. */
  firstReading: number;
  runs: number;
  sprayHours: number;
  kilograms: number;
  lastEnd: number;
  /** Usual length of a pull, ms, and the end of the last one that was no mere burst, epoch ms; 0 before one. */
  pull: { usualMs: number; workEnd: number };
  powder: string;
  powderSince: number;
  powderRuns: Record<string, number>;
  usual: Record<string, UsualOutput>;
  /** The same whatever the powder: the output at which its insert is judged. */
  usualOutput: UsualOutput;
  insert: {
    since: number | null;
    logged: boolean;
    /** Spray hours of the gun when it was put in. */
    atHours: number;
    kilograms: number;
    /** The log says that it was changed, but the loss stayed. */
    inVain?: boolean;
    /** When it was logged as new, epoch ms, so long before the first reading that nobody knows what it had used by then; and that time, ms. */
    unseen?: { since: number; ms: number };
    /** While its gun has not been seen spraying: silences of its station since it was put in that are over, ms, and when the present one began, epoch ms; null without one. */
    silent?: { ms: number; since: number | null };
    /** Loss (ln of output) of the one before that the readings say has stayed, once they bore the change out, and its deviation. */
    left?: { mean: number; sd: number };
    /** The largest excess air (ln) that was believed of it and its deviation; whether less is believed now, and since when: epoch ms, and the gun's spray hours. */
    peak?: { log: number; sd: number; falling: boolean; time: number; atHours: number };
    /** Wear clock since, 100 kg at the reference velocity with the site's first powder. */
    clock: number;
  };
  /**
   * Once an insert of unknown age was changed: level of the gun with it at first sight, ln of output over nothing, null where too little was seen. Null
   * while it is in, and where the insert was new at first sight.
   */
  met: { readonly level: number | null } | null;
  /** Inserts that were logged from new to taken out. */
  lives: PastLife[];
  /** Wear clock per spray hour: kilograms × velocity × abrasiveness, and kilograms alone. */
  clockPerHour: number;
  kilogramsPerHour: number;
  /** Days with spraying (day number) and spray hours on the last, for spray hours a shift. */
  shift: { day: number; hours: number; usual: number; days: number };
  conveying: MotiveLine;
  supplementary: SteadyLevel;
  fluidizing: SteadyLevel;
  ripple: SteadyLevel;
  sag: SteadyLevel;
  unsteadiness: SteadyLevel;
  /** Inlet pressure: usual, now, and what it came to once it was low, bar; since when it is low (0 while it is not) and when it was last sound. */
  supply: {
    mean: number;
    now: number;
    base: number;
    blocks: number;
    time: number;
    lowSince: number;
    soundUntil: number;
  };
  steps: { output: CusumState; both: CusumState; ripple: CusumState; conveying: CusumState };
  step: StepCase | null;
  /** Ripple (ln) when its chart last stood at zero and it had not risen with a loss, when that was (epoch ms) and the gun's spray hours then; null before. */
  still: { readonly ripple: number; readonly time: number; readonly atHours: number } | null;
  /** Powder and leak of a gun that shows neither its powder nor its ripple; null at others. */
  unread: UnreadPowder | null;
  /** ln of what the pump gave for its air when the conveying line last was sound, and since when its insert was in; null where nothing is known. */
  soundPump: { effect: number; insert: number | null } | null;
  /** When the last step that guns share was taken in: what charts say from before it is told. */
  sharedSince: number;
  /** Starts of the last blocks that the step charts took in, oldest first. */
  starts: number[];
  /** Log entries of the last days, newest last. */
  log: LogEntry[];
  scale: ScalePull;
  /** Where the output is coupled: what stands for the recipe that is not read, ln g/min; null before the first block. */
  recipe: number | null;
  /** ln of the change limit (excess air) on a grid of beliefs; empty until the log taught something. */
  limit: number[];
  /** Spray hours of the gun at which a line's loss first was beyond doubt, by subject. */
  beyond: Record<string, number>;
  /** Since when its supplementary or fluidizing line has been low (epoch ms); without an entry while it is not. */
  lineLow: { supplementary?: number; fluidizing?: number };
  /** Channels that cannot be trusted now, from facts. */
  distrust: string[];
  /** The newest time at which its baseline was learnt anew; null while the first one holds. */
  commissioned: Commissioning | null;
  /** Changes that the air seems to show and the log does not, oldest first. */
  returns: SilentChange[];
}

/** Spray hours that the present baseline has been learnt for. */
export function hoursKnown({ sprayHours, commissioned }: GunMemory): number {
  return sprayHours - (commissioned?.atHours ?? 0);
}

/** Spray hours of the insert that is in now: since it was put in, or since the first reading. */
export function insertHours({ sprayHours, insert }: GunMemory): number {
  return sprayHours - insert.atHours;
}

/** An insert with which nothing was sprayed yet, put in at `since` (epoch ms; null where it is not known) and so many spray hours of the gun. */
export function newInsert(since: number | null, logged: boolean, atHours: number): GunMemory['insert'] {
  return { since, logged, atHours, kilograms: 0, clock: 0 };
}

/** Silent changes of a gun that are remembered. Source: own choice, a year of one gun's inserts. */
export const RETURNS = 20;

/** Remembers a silent change; the oldest gives way. */
export function noteReturn(memory: GunMemory, change: SilentChange): void {
  memory.returns.push(change);
  if (memory.returns.length > RETURNS) memory.returns.shift();
}

const NO_SETTINGS = cusum.schema.parse({ limit: 1 });

export function newGunMemory(id: string, source: OutputSource): GunMemory {
  return {
    id,
    open: [],
    source,
    zeros: newZeroTracker(),
    jumps: newJumpingReadings(),
    lowGauge: newLowGauge(),
    firstReading: 0,
    runs: 0,
    sprayHours: 0,
    kilograms: 0,
    lastEnd: 0,
    pull: { usualMs: 0, workEnd: 0 },
    powder: '',
    powderSince: 0,
    powderRuns: {},
    usual: {},
    usualOutput: newUsualOutput(),
    insert: newInsert(null, false, 0),
    met: null,
    lives: [],
    clockPerHour: 0,
    kilogramsPerHour: 0,
    shift: { day: 0, hours: 0, usual: 0, days: 0 },
    conveying: newMotiveLine(),
    supplementary: newSteadyLevel(),
    fluidizing: newSteadyLevel(),
    ripple: newSteadyLevel(),
    sag: newSteadyLevel(),
    unsteadiness: newSteadyLevel(),
    supply: { mean: 0, now: 0, base: 0, blocks: 0, time: 0, lowSince: 0, soundUntil: 0 },
    steps: {
      output: cusum.init(NO_SETTINGS),
      both: cusum.init(NO_SETTINGS),
      ripple: cusum.init(NO_SETTINGS),
      conveying: cusum.init(NO_SETTINGS),
    },
    step: null,
    still: null,
    unread: null,
    soundPump: null,
    sharedSince: 0,
    starts: [],
    log: [],
    scale: newScalePull(),
    recipe: null,
    limit: [],
    beyond: {},
    lineLow: {},
    distrust: [],
    commissioned: null,
    returns: [],
  };
}
