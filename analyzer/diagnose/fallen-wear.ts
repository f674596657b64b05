import type { ExcessAir } from '../baseline/excess-air.ts';
import { keepFirstSight } from '../baseline/first-sight.ts';
import { hoursKnown, insertHours, newInsert, noteReturn } from '../baseline/gun-memory.ts';
import { PRIORS } from '../baseline/pump-priors.ts';
import { fitInsert } from '../baseline/pump-wear.ts';
import { loosensUnread } from '../baseline/unread-powder.ts';
import { isDismissed } from './dismissed.ts';
import type { Bench } from './site-view.ts';

/**
 * Nothing heals: what is believed of an insert's loss may fall by less than this share of its largest, or by so many deviations.
 * Source: own choice: clearly more than half, and beyond what settings, lots and weeks make a belief swing.
 */
const FALLEN = { share: 0.5, deviations: 2.5 };
/**
 * The same where the log says that it was changed and the first hours did not show it: less makes up for what they said, because people write down what they did. Source: own choice:
 * the share that bears a change out, two deviations.
 */
const FALLEN_LATE = { share: 0.3, deviations: 2 };
/** Smallest loss, ln of the air that it costs, whose fall tells of a change. Source: own choice, near half of a usual limit of 20 %. */
const LEAST = 0.09;
/** Share of the largest down to which the fall has not begun. Source: own choice, as beliefs swing. */
const NEAR = 0.7;
/**
 * A set output shows what a hand makes of it: what is believed swings by its notches, the more the flatter the curve, and an insert is hardly taken out, without
 * a word, before so many spray hours. Source: own choice: half of a short life (handbook section 2, 50–65 spray hours). On plants of two other simulators 51 of 54 such falls
 * were no change, and most of those came sooner.
 */
const YOUNG_HOURS = 25;
/** Spray hours before which beliefs still settle. Source: own choice, two shifts. */
export const SETTLED_HOURS = 7;

/**
 * Where neither the log nor a step told of a new insert, as on guns whose powder is not read or with another change at the same time, what is
 * believed of the loss falls over some shifts, against all that is believed of wear: the insert was changed without a word.
 *
 * Where the log says that it was changed, and what came back at first was too little, the log is believed after all.
 *
 * @returns true when the insert is taken for new from now on
 */
export function takeFallen(
  bench: Bench,
  { wear, wearSd, elasticity }: Pick<ExcessAir, 'wear' | 'wearSd' | 'elasticity'>,
): boolean {
  const { memory, pool, now } = bench;
  const { insert } = memory;
  if (hoursKnown(memory) < SETTLED_HOURS) return false;
  const late = insert.inVain === true;
  const hand = bench.gun.output === 'measured' ? 0 : PRIORS.notch.sd / elasticity;
  if (hand > 0 && !late && insert.since !== null && insertHours(memory) < YOUNG_HOURS) return false;
  const { peak } = insert;
  if (peak === undefined || wear >= peak.log) {
    insert.peak = { log: wear, sd: wearSd, falling: false, time: now, atHours: memory.sprayHours };
    return false;
  }
  if (wear >= NEAR * peak.log) peak.falling = false;
  else if (!peak.falling) Object.assign(peak, { falling: true, time: now, atHours: memory.sprayHours });
  // Both are beliefs of the same curve and level: half of their variances is shared, and no part of the fall.
  const sd = Math.hypot(Math.sqrt((peak.sd ** 2 + wearSd ** 2) / 2), hand);
  const { share, deviations } = late ? FALLEN_LATE : FALLEN;
  if (peak.log < LEAST || wear > (1 - share) * peak.log || peak.log - wear < deviations * sd) return false;
  if (late) {
    fitInsert(pool, memory.id);
    const { peak: _, ...logged } = insert;
    memory.insert = { ...logged, inVain: false };
    return true;
  }
  if (isDismissed(bench, 'pump-insert', peak.time)) return false;
  noteReturn(memory, {
    ...{ part: 'pump-insert', time: peak.time, noticed: now, before: peak.log, after: Math.max(0, wear), sd },
    ...{ sprayHours: insert.since === null ? null : peak.atHours - insert.atHours, counted: true },
  });
  keepFirstSight(pool, memory);
  fitInsert(pool, memory.id);
  if (memory.unread !== null) loosensUnread(memory.unread);
  memory.insert = newInsert(peak.time, false, peak.atHours);
  return true;
}
