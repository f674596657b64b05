import { BLOCK_HOURS } from './promise-shares.ts';
import { cusumRunLength } from './run-length/average-run-length.ts';
import { STEP_SLACK, stepLimit } from './step-limits.ts';

/** Shifts are told apart by this, deviations of a block: run lengths between are within a hundredth, and people are shown two digits. */
const STEP = 0.005;

/** Run lengths that were reckoned, by alarms accepted and shift: an integral equation each, asked for at every look at every gun. */
const known = new Map<number, Map<number, number>>();

/**
 * Spray hours that a chart of steps needs on the average to a shift.
 *
 * @param falseAlarmsPerGunYear as the settings state it, > 0
 * @param shift deviations of a block, rounded to 0.005
 * Source: run lengths of K. W. Kemp (1961), see cusumRunLength.
 */
export function stepHours(falseAlarmsPerGunYear: number, shift: number): number {
  let hours = known.get(falseAlarmsPerGunYear);
  if (hours === undefined) {
    hours = new Map();
    known.set(falseAlarmsPerGunYear, hours);
  }
  const step = Math.round(shift / STEP);
  let found = hours.get(step);
  if (found === undefined) {
    const limit = stepLimit(falseAlarmsPerGunYear);
    found = cusumRunLength({ slack: STEP_SLACK, limit }, step * STEP, 'one') * BLOCK_HOURS;
    hours.set(step, found);
  }
  return found;
}
