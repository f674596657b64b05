import type { Estimate } from '../stats/count-interval.ts';

/** An upper limit beyond this says that nothing is known. Source: own choice, a false alarm every few hours. */
const MOST = 1000;

/** What the figures of a study mean, below its tables. */
export const TALLY_NOTE =
  'in brackets: 95 % confidence; warning: mean spray hours from the finding to when the part was found worn, 0 where missed';

/** An estimate with its interval, e.g. "0.30 (0.06–0.88)"; "-" where there is none, "…" for a limit that is not known. */
export function intervalText(of: Estimate | null, digits: number): string {
  if (of === null) return '-';
  const high = of.high <= MOST ? of.high.toFixed(digits) : '…';
  return `${of.value.toFixed(digits)} (${of.low.toFixed(digits)}–${high})`;
}

/** Spray hours with their interval: to a tenth below ten, where a whole hour would be much of it. */
export function hoursText(of: Estimate | null): string {
  return intervalText(of, of !== null && of.value < 10 ? 1 : 0);
}
