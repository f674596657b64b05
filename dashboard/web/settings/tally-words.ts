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

/** A tally's cells in a table, from "in time" to "warning"; dashes where nothing was raised and nothing was due. */
export function tallyCells(tally: Tally | undefined): string[] {
  if (tally === undefined) return Array<string>(7).fill('–');
  const { inTime, late, missed, falseAlarms, unknown, open, falsePerGunYear, warningSprayHours } = tally;
  const counts = [inTime, late, missed, falseAlarms, unknown + open].map(String);
  const cell = (of: Tally['falsePerGunYear'], digits: number): string => (of === null ? '–' : withInterval(of, digits));
  return [...counts, cell(falsePerGunYear, 2), cell(warningSprayHours, 0)];
}

/** What adopting these settings would be expected to do, as a sentence for the record. */
export function expectedEffect(present: Tally, proposed: Tally): string {
  return [
    `on the stored history: false alarms per gun and year ${withInterval(present.falsePerGunYear, 2)} → ${withInterval(proposed.falsePerGunYear, 2)}`,
    `warning ${withInterval(present.warningSprayHours, 0)} → ${withInterval(proposed.warningSprayHours, 0)} spray h`,
    `in time ${present.inTime} → ${proposed.inTime}, late ${present.late} → ${proposed.late}, missed ${present.missed} → ${proposed.missed}`,
  ].join('; ');
}
