import type { ExcessAir } from '../baseline/excess-air.ts';
import { hoursKnown, insertHours } from '../baseline/gun-memory.ts';
import type { LimitBelief } from '../forecast/change-limit.ts';
import type { ShareBelief } from '../forecast/limit-share.ts';
import type { Bench } from './site-view.ts';
import { isWearDue } from './wear-due.ts';

/**
 * Where the output is not measured, an insert that was logged as new has to be due for so long, spray hours: what an operator's hand does to the
 * air comes and goes within a shift, and wear stays. Source: own choice, as long as a line has to be beyond doubt.
 */
export const LASTING_HOURS = 1.5;

/** An insert of unknown age is judged by the other guns: not before curve and powders are known too, spray hours. Source: own choice, somewhat over a shift. */
export const BORROWED_HOURS = 4.5;
/** While a step is open what is wear and what is leak is less clear: wait. */
const STEP_HOURS = 2;

/**
 * Spray hours over which recipes that are not read average out until half the limit shows in the air alone: before that an insert whose gun's output is computed from the air is not
 * told; but for one of unknown age, which is judged by what went through it: to wait would be to let it pass its limit. Source: own choice, seen on simulated halls: about
 * half an insert's life.
 */
export const UNREAD_HOURS = 25;

/** What is believed of an insert at a look. */
interface Seen {
  readonly share: ShareBelief;
  readonly limit: LimitBelief;
  readonly excess: ExcessAir;
}

/**
 * Whether a finding on the insert is raised at this look: it is due, enough is known and nothing else is going on. Where that has to last, the book
 * keeps from when.
 */
export function isToldNow({ memory, book, gun, tunables }: Bench, { share, limit, excess }: Seen): boolean {
  const stepped = memory.step !== null && !memory.step.upward;
  if (stepped && memory.sprayHours - memory.step!.atHours < STEP_HOURS) return false;
  const sinceNew = memory.insert.since !== null;
  if (!sinceNew && hoursKnown(memory) < BORROWED_HOURS) return false;
  if (sinceNew && gun.output === 'coupled' && Math.min(hoursKnown(memory), insertHours(memory)) < UNREAD_HOURS)
    return false;
  const measured = gun.output === 'measured';
  const due = isWearDue(share, limit, excess, tunables);
  if (due && sinceNew && !measured) {
    book.due[memory.id] ??= memory.sprayHours;
    if (memory.sprayHours - book.due[memory.id]! < LASTING_HOURS) return false;
  }
  // To take away what is not there would make the record slow.
  if (book.due[memory.id] !== undefined) delete book.due[memory.id];
  return due;
}
