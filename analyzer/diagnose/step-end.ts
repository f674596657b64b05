import { keepFirstSight } from '../baseline/first-sight.ts';
import { type GaussianState, linearForm, resetQuantity, varianceOf } from '../baseline/gaussian-state.ts';
import { type GunMemory, newInsert } from '../baseline/gun-memory.ts';
import { moveQuantity } from '../baseline/move-quantity.ts';
import { observe } from '../baseline/observe.ts';
import type { PumpGun } from '../baseline/pump-pool.ts';
import { fitInsert } from '../baseline/pump-wear.ts';
import { isDismissed } from './dismissed.ts';
import { SETTLED_HOURS } from './fallen-wear.ts';
import { endFurther } from './further-leak.ts';
import { askFitted, noteFitted } from './silent-change.ts';
import type { Bench } from './site-view.ts';
import type { StepSigns } from './step-signs.ts';

/** Deviation of a leak that is not believed in. Source: own choice, small against any that matters. */
const NO_LEAK_SD = 0.003;
/** How far from none a leak is once the signal is back. Source: own choice. */
const CURED_SD = 0.015;
/**
 * A gain is an insert changed without a word when the insert was well worn, and nearly all of its loss has gone. Source: own choice:
 * inserts are seldom changed early, and lots and weather do as much as a little wear.
 */
const UNLOGGED = { wear: 0.13, share: 0.7, deviations: 3 };
/** A loss or gain that is left when a case ends moves the level from this size on. Source: own choice, above what shifts and refits do. */
const NEW_LEVEL = { loss: 0.06, deviations: 3 };
/** Spray hours after which a gain is looked at, and after which it is a new normal. Source: own choice, two and some fifteen blocks. */
const GAIN_HOURS = { first: 0.3, last: 2 };

/** A sudden gain: a leak healed, an insert changed without a word, or a better lot. */
export function judgeReturn(bench: Bench, signs: StepSigns, age: number): void {
  const { memory, pool } = bench;
  const gun = pool.guns[memory.id];
  if (gun === undefined || age < GAIN_HOURS.first) return;
  const wear = linearForm(pool.gaussian, [gun.wear], [1]);
  const sum = linearForm(pool.gaussian, [gun.wear, gun.leak], [1, 1]);
  const gained = -signs.loss > UNLOGGED.deviations * signs.lossSd;
  if (
    gained &&
    isSettled(memory, memory.sprayHours - age) &&
    !memory.step!.common &&
    !isDismissed(bench, 'pump-insert', memory.step!.onset) &&
    wear.mean > UNLOGGED.wear &&
    -signs.loss > UNLOGGED.share * wear.mean &&
    Math.abs(sum.mean) < 2.5 * Math.sqrt(sum.variance) + 0.03
  ) {
    const { onset } = memory.step!;
    takeNewInsert(bench, gun, { signs, wear: wear.mean, onset, atHours: memory.sprayHours - age });
    return;
  }
  if (age <= GAIN_HOURS.last || gun.watch !== null) return;
  askFitted(bench, signs, wear.mean);
  settleOrEnd(bench, signs, memory.step!.powderChange);
}

/**
 * Whether a gain tells of an insert at all: what one of unknown age had lost is only supposed in its first hours, and a gun that turns out to give more than
 * supposed is no change.
 *
 * @param atHours spray hours of the gun when the gain began
 */
export function isSettled({ insert, commissioned }: GunMemory, atHours: number): boolean {
  return insert.since !== null || atHours - (commissioned?.atHours ?? 0) >= SETTLED_HOURS;
}

/** An insert that was changed without a word. */
interface Unlogged {
  /** What came back. */
  readonly signs: Pick<StepSigns, 'loss' | 'lossSd' | 'elasticity'>;
  /** Loss of the insert before, ln of output. */
  readonly wear: number;
  /** When it was changed, epoch ms, and spray hours of the gun then. */
  readonly onset: number;
  readonly atHours: number;
}

/** The insert was changed without a word: what was gained was its loss. */
export function takeNewInsert(bench: Bench, gun: PumpGun, { signs, wear, onset, atHours }: Unlogged): void {
  const { memory, pool } = bench;
  const since = afterPause(memory.starts, onset);
  noteFitted(bench, signs, wear, since);
  endFurther(bench);
  resetQuantity(pool.gaussian, gun.leak, 0, NO_LEAK_SD ** 2);
  keepFirstSight(pool, memory);
  fitInsert(pool, memory.id);
  memory.insert = newInsert(since, false, atHours);
  memory.step = null;
}

/** A pause in which parts are changed, ms. Source: own choice: longer than breaks. */
const PAUSE_MS = 2 * 3_600_000;

/** Charts date a change to a block, give or take two or three, and parts are changed in pauses: after the pause that follows at once. */
function afterPause(starts: readonly number[], onset: number): number {
  const at = starts.findIndex((start) => start >= onset);
  for (let next = at + 1; at >= 0 && next <= at + 3 && next < starts.length; next++)
    if (starts[next]! - starts[next - 1]! > PAUSE_MS) return starts[next]!;
  return onset;
}

/** A step that stays but that no cause explains is a new normal; one that has gone was none. */
export function settleOrEnd(bench: Bench, signs: StepSigns, powder: boolean): void {
  if (signs.unread !== null) {
    endStep(bench);
    return;
  }
  const left = Math.abs(signs.loss);
  if (left > NEW_LEVEL.deviations * signs.lossSd && left > NEW_LEVEL.loss) settle(bench, powder ? 'powder' : 'level');
  else endStep(bench);
}

/** The step is over: there is no leak, and what was ascribed to one belongs elsewhere. */
export function endStep(bench: Bench): void {
  const { memory, pool } = bench;
  const gun = pool.guns[memory.id];
  if (gun !== undefined) observe(pool.gaussian, [gun.leak], [1], 0, CURED_SD ** 2, 3);
  dropStep(bench);
}

/** What looked like a step was the doing of what guns share: it is forgotten, and so is the loss put down to it. */
export function dropStep(bench: Bench): void {
  const { memory, pool } = bench;
  endFurther(bench);
  const gun = pool.guns[memory.id];
  if (gun !== undefined && memory.step?.unread === true) backToPowder(pool.gaussian, gun);
  if (gun !== undefined) resetQuantity(pool.gaussian, gun.leak, 0, NO_LEAK_SD ** 2);
  memory.step = null;
}

/** What was put down to a leak is the powder's again, as long as nobody reads which: the gun's level stays what it was. */
function backToPowder({ mean }: GaussianState, { powders, leak }: PumpGun): void {
  const own = powders[''];
  if (own !== undefined) mean[own] = mean[own]! - mean[leak]!;
}

/** Takes what is left of a step into the gun's level (or what the powder does on this gun) and ends the case. */
export function settle(bench: Bench, into: 'level' | 'powder'): void {
  endFurther(bench);
  const { memory, pool } = bench;
  const gun = pool.guns[memory.id];
  if (gun !== undefined) {
    const { mean } = pool.gaussian;
    const own = gun.powders[memory.powder];
    const target = into === 'powder' && own !== undefined ? own : gun.level;
    const variance = varianceOf(pool.gaussian, gun.leak);
    moveQuantity(pool.gaussian, target, -mean[gun.leak]!, [gun.leak], [-1], 0);
    resetQuantity(pool.gaussian, gun.leak, 0, Math.min(variance, NO_LEAK_SD ** 2));
  }
  memory.step = null;
}
