import type { Finding } from '../../collector/contract/index.ts';
import type { SprayClock } from './spray-clock.ts';

/** A fault that really was there. Times are epoch ms. */
export interface FaultTruth {
  readonly id: string;
  readonly cause: string;
  readonly guns: readonly string[];
  readonly shape: 'step' | 'ramp' | 'span';
  readonly onset: number;
  /** Null while it lasts at the end of the data. */
  readonly end: number | null;
  /** True when a change of the right part ended it. */
  readonly cured: boolean;
  readonly size: number;
  /** For ramps: when 70 % of the limit was reached; null when never. */
  readonly reached70: number | null;
  /** Spray hours while it lasted, the least of its guns. */
  readonly sprayHours: number;
}

/** An insert at one time of its life. */
interface LifePoint {
  readonly time: number;
  /** Spray hours from its start. */
  readonly sprayHours: number;
  /** Share of the pumping effect lost. */
  readonly loss: number;
  /** Air that it needs over a new one's at the gun's usual output, share; null where no air would do. */
  readonly excessAir: number | null;
}

/** A pump insert from its fitting to its change. */
export interface LifeTruth {
  readonly gun: string;
  readonly origin: 'logged' | 'fitted-at-start' | 'unlogged';
  readonly start: number;
  readonly end: number | null;
  /** Loss of pumping effect at which it truly has to go. */
  readonly wearLimit: number;
  /** State at shift ends, ascending. */
  readonly curve: readonly LifePoint[];
  readonly reached70: boolean;
  /** Spray hours from `start` to the limit; null when it cannot be told. */
  readonly limitSprayHours: number | null;
}

/** Something normal that must not be blamed on a part while it lasts. */
export interface TrapTruth {
  readonly kind: string;
  readonly guns: readonly string[];
  readonly start: number;
  readonly end: number;
}

/** One gun of a hall whose truth is known. */
export interface GunCase {
  readonly id: string;
  readonly channels: readonly string[];
  /** How its output is known; left out where nobody said. */
  readonly output?: string;
  readonly sprayHours: number;
  readonly lives: readonly LifeTruth[];
  readonly clock: SprayClock;
}

/** What was found in a hall beside what really happened there. */
export interface EvaluationCase {
  readonly scenario: string;
  readonly seed: number;
  readonly start: number;
  readonly end: number;
  readonly guns: readonly GunCase[];
  readonly faults: readonly FaultTruth[];
  readonly traps: readonly TrapTruth[];
  /** Last state of every finding, and each as it was known over time. */
  readonly findings: readonly Finding[];
  readonly snapshots: readonly Finding[];
}

/**
 * Loss of a life at a time, straight between shift ends.
 *
 * @param time epoch ms; before the first shift end the first loss holds, after the last the last
 * @returns share of the pumping effect lost; 0 for a life without a shift
 */
export function lossAt({ curve }: Pick<LifeTruth, 'curve'>, time: number): number {
  return alongCurve(curve, time, ({ loss }) => loss);
}

/** Spray hours of a life from its start up to a time, straight between shift ends. */
export function lifeHoursAt({ curve }: Pick<LifeTruth, 'curve'>, time: number): number {
  return alongCurve(curve, time, ({ sprayHours }) => sprayHours);
}

/** Excess air where no air would do: beyond all limits, and finite, so that it can be taken as straight, too. */
const NO_AIR_WOULD_DO = 1e3;

/** Excess air of a life at a time, likewise. */
export function excessAirAt({ curve }: Pick<LifeTruth, 'curve'>, time: number): number {
  return alongCurve(curve, time, ({ excessAir }) => excessAir ?? NO_AIR_WOULD_DO);
}

function alongCurve(curve: LifeTruth['curve'], time: number, of: (point: LifePoint) => number): number {
  if (curve.length === 0) return 0;
  const next = curve.findIndex((point) => point.time >= time);
  if (next < 0) return of(curve.at(-1)!);
  if (next === 0) return of(curve[0]!);
  const before = curve[next - 1]!;
  const after = curve[next]!;
  return of(before) + ((time - before.time) / (after.time - before.time)) * (of(after) - of(before));
}
