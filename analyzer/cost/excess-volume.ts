import type { RunTable } from '../../collector/contract/index.ts';

/** What a new insert needs with one powder: m3/h (DIN 1343) at an output in g/min, and how output follows air. */
export interface AirNeed {
  readonly powder: string;
  readonly usualOutput: number;
  readonly neededAir: number;
  /** d ln(output) / d ln(air). */
  readonly elasticity: number;
}

/** Air of one gun in one month. */
export interface MonthAir {
  readonly month: string;
  sprayHours: number;
  /** Of these: those whose need is known. */
  judgedHours: number;
  /** Conveying air over a new insert's need, m3 at 0 °C and 1013.25 hPa. Below 0 where noise outweighs it. */
  excessM3: number;
}

/** A span whose readings cannot be trusted, epoch ms. */
export interface Distrusted {
  readonly from: number;
  readonly to: number;
}

/** Outputs farther from the usual one are taken at this distance, for the curve is not known there. Source: own choice. */
const FARTHEST = 2;

/**
 * Conveying air that a gun took over a new insert's need for the same output, by month.
 *
 * need(output) = need(usual) · (output / usual)^(1 / elasticity); the excess of a run is (flow − need) · spray time.
 *
 * @param table runs of one gun
 * @param distrusted spans with a sensor that was off: their spray hours are counted and not judged
 * @param monthOf epoch ms to the month on the shop's calendar, `YYYY-MM`
 * @returns ascending by month
 */
export function excessByMonth(
  table: RunTable,
  needs: readonly AirNeed[],
  distrusted: readonly Distrusted[],
  monthOf: (time: number) => string,
): MonthAir[] {
  const months = new Map<string, MonthAir>();
  const { columns, powders } = table;
  const needOf = powders.map((powder) => needs.find((need) => need.powder === powder));
  const unnamed = needs.find(({ powder }) => powder === '');
  for (let row = 0; row < table.length; row++) {
    const start = columns.start[row]!;
    const hours = columns.sprayMs[row]! / 3_600_000;
    const month = monthOf(start);
    let air = months.get(month);
    if (air === undefined) {
      air = { month, sprayHours: 0, judgedHours: 0, excessM3: 0 };
      months.set(month, air);
    }
    air.sprayHours += hours;
    const need = columns.powder[row]! < 0 ? unnamed : needOf[columns.powder[row]!];
    const flow = columns.conveyingFlow[row]!;
    const output = columns.output[row]!;
    if (need === undefined || !Number.isFinite(flow)) continue;
    if (distrusted.some(({ from, to }) => start >= from && start < to)) continue;
    const ratio = Number.isFinite(output) && output > 0 ? output / need.usualOutput : 1;
    const bounded = Math.min(FARTHEST, Math.max(1 / FARTHEST, ratio));
    air.judgedHours += hours;
    air.excessM3 += (flow - need.neededAir * bounded ** (1 / need.elasticity)) * hours;
  }
  return [...months.values()].sort((left, right) => (left.month < right.month ? -1 : 1));
}
