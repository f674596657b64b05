import type { FaultCause } from '../gun/fault.ts';
import type { OutputMode } from '../gun/gun-spec.ts';
import type { Nuisance } from '../hall/hall-air.ts';
import type { MaintenanceHabits } from '../people/maintenance.ts';
import type { OperatorHabits } from '../people/operator.ts';
import type { NumericChannel } from '../sensors/sensor.ts';

/** Which channels a gun has: `minimal` conveying air and output; `usual` most; `all` everything. */
export type Fitting = 'minimal' | 'usual' | 'all';

/** How often a fault comes and how it looks; ranges are drawn from, uniformly. */
export interface FaultRate {
  readonly cause: FaultCause;
  readonly shape: 'step' | 'ramp' | 'span';
  /** Mean count for each gun over the whole scenario. */
  readonly perGun: number;
  readonly size: readonly [number, number];
  /** Ramps: spray hours from onset to the limit. */
  readonly sprayHours?: readonly [number, number];
  /** Ramp: share of the limit; step: spray hours; span: hours. */
  readonly mendAfter: readonly [number, number];
  /** Chance that something else is changed first. */
  readonly wrongFirst?: number;
  /** Chance that the mending is written down; default always. */
  readonly logged?: number;
  readonly sensor?: {
    readonly kinds: readonly ('zero' | 'gain' | 'stuck' | 'broken')[];
    readonly channels: readonly NumericChannel[];
  };
}

/** Normal things that look like faults; each kind is made once or more in its scenario. */
export type TrapKind =
  | 'low-supply-setting'
  | 'hose-change'
  | 'nozzle-exchange'
  | 'sensor-exchange'
  | 'shut-down'
  | 'daylight-saving'
  | 'clock-offset'
  | 'more-powder'
  | 'regulator-stop';

/** One simulated hall and its story, as data. */
export interface Scenario {
  readonly name: string;
  readonly summary: string;
  readonly weeks: number;
  readonly guns: number;
  readonly gunsPerBooth: number;
  readonly lines: number;
  /** A measuring point behind the dryer of each line. */
  readonly airPoints: boolean;
  readonly shifts: 1 | 2;
  /** Reporting intervals while spraying, s; each gun has one of them. */
  readonly intervalS: readonly number[];
  readonly idleS: number;
  /** Fluidizing air, inlet and scale are reported at most so often, s. */
  readonly slowS: number;
  /** Where given: how each gun's output is known and what is fitted, instead of drawing them. */
  readonly fleet?: readonly { readonly output: OutputMode; readonly fitting: Fitting }[];
  readonly outputs: Readonly<Partial<Record<OutputMode, number>>>;
  readonly fittings: Readonly<Partial<Record<Fitting, number>>>;
  readonly powders: number;
  /** Abrasiveness of metallic and textured powders. */
  readonly abrasive: number;
  readonly recipes: number;
  readonly changeChance: number;
  readonly pullS: number;
  readonly gapS: number;
  /** Chance that a gun is not used, each day. */
  readonly unusedChance: number;
  readonly lifeSprayHours: number;
  /** Deviation of the logarithm of inserts' lives. */
  readonly insertSpread: number;
  /** How far guns stray from the make that the hall has bought: 0 not at all, 1 as far as guns of all makes. */
  readonly gunSpread: number;
  /** Chance that a gun's first insert is logged as new at the start. */
  readonly newAtStart: number;
  readonly maintenance: MaintenanceHabits;
  readonly operators: OperatorHabits;
  readonly nuisance: Nuisance;
  readonly faults: readonly FaultRate[];
  /** Supply events and bad lots over the whole scenario, mean counts. */
  readonly supplyEvents: number;
  readonly badLots: number;
  readonly traps: readonly TrapKind[];
  readonly altitudes: readonly number[];
  /** Share of reports lost, sent twice, and delayed into another file. */
  readonly transport: { readonly lost: number; readonly twice: number; readonly late: number };
  readonly emptyBox: number;
  readonly bridging: number;
}

/**
 * What a plain hall is like; scenarios change what they are about.
 * Source: own choice, because every figure differs from shop to shop; nuisances of a few percent are what limits detection in practice.
 */
export const PLAIN_HALL: Omit<Scenario, 'name' | 'summary'> = {
  weeks: 10,
  guns: 6,
  gunsPerBooth: 2,
  lines: 1,
  airPoints: true,
  shifts: 1,
  intervalS: [2, 4, 5, 10],
  idleS: 30,
  slowS: 10,
  outputs: { measured: 5, setpoint: 3, coupled: 0.5, scale: 1 },
  fittings: { usual: 4, all: 4, minimal: 1 },
  powders: 4,
  abrasive: 1.6,
  recipes: 3,
  changeChance: 0.18,
  pullS: 17,
  gapS: 15,
  unusedChance: 0.03,
  lifeSprayHours: 58,
  insertSpread: 0.2,
  // A hall buys one pump, made to a tenth of its bore or better: new guns differ by some 6 % of output at the same air, nozzles by 3 % of flow.
  gunSpread: 0.45,
  newAtStart: 0.35,
  maintenance: { insert: { by: 'limit', share: 0.98, spread: 0.12 }, unlogged: 0, refit: 0.4, inspections: 0.04 },
  operators: { personSpread: 0.03, driftSpread: 0.02, deadBand: 0.05, delayPulls: 8 },
  nuisance: { day: 0.012, shift: 0.008, week: 0.012, lot: 0.025, weather: 0.01, pull: 0.02 },
  faults: [],
  supplyEvents: 0,
  badLots: 0,
  traps: [],
  altitudes: [0, 180, 450],
  transport: { lost: 0.002, twice: 0.002, late: 0.01 },
  emptyBox: 0.03,
  bridging: 0.0005,
};
