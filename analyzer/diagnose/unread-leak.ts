import { usualElasticity } from '../baseline/excess-air.ts';
import { resetQuantity } from '../baseline/gaussian-state.ts';
import { hoursKnown } from '../baseline/gun-memory.ts';
import { leakIn } from '../baseline/unread-powder.ts';
import { agree } from './agree.ts';
import { findOpen } from './finding-book.ts';
import { ALONE } from './loss-alone.ts';
import type { Bench } from './site-view.ts';
import { newStepCase } from './step-case.ts';

/**
 * ln odds for a leak from which it is told, at the false alarms of the default settings; more where fewer are accepted. Source: A. N. Shiryaev (1963), Theory
 * Probab. Appl. 8(1) 22: the share of alarms that are false is one minus the probability at which they are given; one in fifteen is own choice.
 */
const TOLD = { odds: 14, alarms: 0.3 };
/** Spray hours after which powders are known well enough. Source: own choice, four shifts, in which most come round. */
const KNOWN_HOURS = 10;
/**
 * Spray hours since a leak was unlikely, before which it is none yet, where the output is read and where a hand lies between, and after which it is none any more. Source: own choice: a box that runs
 * low or bridges gives less for a stretch of work, as long as other leaks without ripple are waited for; and seals fail at once: what takes more than two long shifts to be believed
 * is wear that is not known to a hair, or lots.
 */
const AT_ONCE = { from: ALONE.hours, setFrom: ALONE.setHours, until: 16 };
/** Deviation of a leak in the joint belief of guns, which cannot tell it from a powder. Source: own choice, small against any that matters. */
const HELD_SD = 0.003;

/** True when a gun leaks that shows neither its powder nor its ripple, and by so much that a visit is worth it. */
export function isUnreadLeak(bench: Bench, air: number, leaks: number): boolean {
  if (hoursKnown(bench.memory) < KNOWN_HOURS) return false;
  const { falseAlarmsPerGunYear, smallestChange } = bench.tunablesOf('pump-seals');
  const odds = leaks / Math.max(1 - leaks, 1e-9);
  return odds > (TOLD.odds * TOLD.alarms) / falseAlarmsPerGunYear && air > Math.log1p(smallestChange);
}

/** Opens a case where such a gun leaks beyond doubt, or goes on with one that is open and has not been told. */
export function noticeUnread(bench: Bench): void {
  const { memory, pool, now } = bench;
  const { unread } = memory;
  const gun = pool.guns[memory.id];
  const own = gun?.powders[''];
  if (unread === null || gun === undefined || own === undefined) return;
  if (memory.step?.unread === true || findOpen(bench.book, memory.id, 'step') !== undefined) return;
  const { from, setFrom, until } = AT_ONCE;
  if (unread.likelyHours < (bench.gun.output === 'setpoint' ? setFrom : from) || unread.likelyHours > until) return;
  const leak = leakIn(unread);
  const air = leak.mean / usualElasticity(pool, memory.id);
  if (!agree(bench, (each) => isUnreadLeak(each, air, leak.probability))) return;
  const { mean } = pool.gaussian;
  // What came too fast for wear was this leak: the insert gets it back, and the gun's level stays what it was.
  const { wear } = unread;
  const tooFast = bench.gun.output === 'setpoint' ? 0 : Math.max(0, wear.believed - wear.held);
  mean[gun.wear] = mean[gun.wear]! - tooFast;
  wear.believed -= tooFast;
  mean[own] = mean[own]! + leak.mean - mean[gun.leak]! - tooFast;
  resetQuantity(pool.gaussian, gun.leak, leak.mean, HELD_SD ** 2);
  memory.step = newStepCase(memory, now, { onset: unread.onset, upward: false, powder: '', common: false });
  memory.step.unread = true;
}
