/**
 * Pressure over the atmosphere below which no motive nozzle passes conveying air, bar, and spray hours in a row for which it has to read so. Source: own
 * choice, a quarter of the least that pumps work at (handbook section 1: 0.4 bar), and longer than a shift's first pulls.
 */
const LEAST = { bar: 0.1, hours: 1 };

/** Conveying pressure that reads less than air needs to flow at all: given in another unit than is said, or a gauge that has gone. */
export interface LowGauge {
  /** Spray hours in a row; 0 while the gauge reads what a pump works at. */
  hours: number;
  /** Start of the first block that read so, epoch ms, and what the last one read, bar. */
  since: number;
  bar: number;
}

export const newLowGauge = (): LowGauge => ({ hours: 0, since: 0, bar: 0 });

/**
 * Takes in a block's conveying pressure.
 *
 * @param pressureBar absolute
 * @returns whether a pump works at it: the conveying line is not to be learnt by any other
 */
export function followGauge(
  gauge: LowGauge,
  { start, minutes }: { readonly start: number; readonly minutes: number },
  pressureBar: number,
  atmosphereBar: number,
): boolean {
  gauge.bar = pressureBar - atmosphereBar;
  if (gauge.bar >= LEAST.bar) {
    gauge.hours = 0;
    return true;
  }
  if (gauge.hours === 0) gauge.since = start;
  gauge.hours += minutes / 60;
  return false;
}

export const readsTooLow = ({ hours }: LowGauge): boolean => hours >= LEAST.hours;
