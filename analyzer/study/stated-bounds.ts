import type { Tally } from './study-score.ts';

/** Bounds that a caller states for a replay; what is left out is not asked. */
export interface StatedBounds {
  readonly mostFalsePerGunYear?: number | undefined;
  readonly mostMissed?: number | undefined;
  readonly mostLate?: number | undefined;
  readonly leastWarningSprayHours?: number | undefined;
}

/**
 * The bounds that a tally breaks, one sentence each.
 *
 * A figure that there is nothing to measure on breaks its bound: an empty span must not pass for a good one.
 */
export function brokenBounds(tally: Tally, bounds: StatedBounds): string[] {
  const broken: string[] = [];
  const { mostFalsePerGunYear, mostMissed, mostLate, leastWarningSprayHours } = bounds;
  const alarms = tally.falsePerGunYear;
  if (mostFalsePerGunYear !== undefined && !(alarms !== null && alarms.value <= mostFalsePerGunYear))
    broken.push(`false alarms per gun and year: found ${told(alarms?.value)}, expected at most ${mostFalsePerGunYear}`);
  if (mostMissed !== undefined && tally.missed > mostMissed)
    broken.push(`parts missed: found ${tally.missed}, expected at most ${mostMissed}`);
  if (mostLate !== undefined && tally.late > mostLate)
    broken.push(`parts told of late: found ${tally.late}, expected at most ${mostLate}`);
  const warning = tally.warningSprayHours;
  if (leastWarningSprayHours !== undefined && !(warning !== null && warning.value >= leastWarningSprayHours))
    broken.push(
      `spray hours of warning: found ${told(warning?.value)}, expected at least ${leastWarningSprayHours} on average`,
    );
  return broken;
}

const told = (value: number | undefined): string => (value === undefined ? 'nothing to measure' : value.toFixed(2));
