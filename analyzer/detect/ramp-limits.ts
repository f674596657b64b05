import { normalQuantile } from '../stats/normal.ts';

/**
 * How sure one has to be that a slow loss is beyond the smallest change worth a visit.
 *
 * A ramp's signal is a belief that follows the readings; its null is a loss that stays at the smallest change. A part meets
 * that null about once in its life, so the false alarms of a year are the parts used up in a year times the chance of
 * one look:
 *
 *   chance = falseAlarmsPerGunYear · share / parts a year,   z = Φ⁻¹(1 − chance)
 */
const RAMP_SHARE = 0.5;
/** Inserts and other parts that a gun's air tells of and that wear out in a year of 500 spray hours. Source: own choice from handbook section 2's intervals. */
const PARTS_A_YEAR = 9;

/**
 * @param falseAlarmsPerGunYear as the settings state it, > 0
 * @returns deviations by which a belief has to be beyond the null, between 1 and 4
 * Source: expected counts add; the parts a year are own choice.
 * @example
 * rampDeviations(0.3); // 2.128045
 */
export function rampDeviations(falseAlarmsPerGunYear: number): number {
  const chance = Math.min((falseAlarmsPerGunYear * RAMP_SHARE) / PARTS_A_YEAR, 0.15);
  return Math.min(4, Math.max(1, normalQuantile(1 - chance)));
}
