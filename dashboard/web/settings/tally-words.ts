import type { Tally } from '../../../analyzer/index.ts';
import { decimal } from '../words/figures.ts';

/** An upper limit beyond this says that nothing is known. Source: own choice, a false alarm every few hours. */
const MOST = 1000;

/** An estimate with its interval, e.g. "0.30 (0.06 to 0.88)". */
export function withInterval(of: Tally['falsePerGunYear'], digits: number): string {
  if (of === null) return 'nothing to measure';
  // JSON knows no infinity: a limit that is not known came as null.
  const high = of.high === null || !Number.isFinite(of.high) || of.high > MOST ? '…' : decimal(of.high, digits);
  return `${decimal(of.value, digits)} (${decimal(of.low, digits)} to ${high})`;
}

/** Spray hours of warning with their interval: to a tenth below ten, where a whole hour would be much of it. */
export function warningHours(of: Tally['warningSprayHours']): string {
  return withInterval(of, of !== null && of.value < 10 ? 1 : 0);
}

/** A tally's cells in a table, from "in time" to "warning"; dashes where nothing was raised and nothing was due. */
export function tallyCells(tally: Tally | undefined): string[] {
  if (tally === undefined) return Array<string>(7).fill('–');
  const { inTime, late, missed, falseAlarms, unknown, open, falsePerGunYear, warningSprayHours } = tally;
  const counts = [inTime, late, missed, falseAlarms, unknown + open].map(String);
  const alarms = falsePerGunYear === null ? '–' : withInterval(falsePerGunYear, 2);
  return [...counts, alarms, warningSprayHours === null ? '–' : warningHours(warningSprayHours)];
}

/**
 * What adopting these settings would be expected to do, as a sentence for the record.
 *
 * @param over the part of the history that was tried, " from Fri 1 May 2026 on"; empty for all of it
 */
export function expectedEffect(present: Tally, proposed: Tally, over: string): string {
  return [
    `on the stored history${over}: false alarms per gun and year ${withInterval(present.falsePerGunYear, 2)} → ${withInterval(proposed.falsePerGunYear, 2)}`,
    `warning ${warningHours(present.warningSprayHours)} → ${warningHours(proposed.warningSprayHours)} spray h`,
    `in time ${present.inTime} → ${proposed.inTime}, late ${present.late} → ${proposed.late}, missed ${present.missed} → ${proposed.missed}`,
  ].join('; ');
}
