import { ANR_DM3S_PER_NM3H, iso6358Flow } from './restriction.ts';

/** A filter and a nozzle in series, as they sit between a pressure tap and a pump. */
export interface AirLine {
  /** Sonic conductance of the nozzle, dm³/(s·bar) ANR. */
  conductance: number;
  /** Its critical pressure ratio b. */
  criticalRatio: number;
  /** Loss factor of the laminar filter, bar²·h/Nm³: Δp = a·q/p1. */
  filterLoss: number;
}

/**
 * Pressure behind a laminar filter.
 *
 *   p = p1 − a·q/p1, absolute pressures
 *
 * Source: laminar flow through a bed: Δp in proportion to the actual volume flow, which is q/p1.
 * @example
 * pressureBehindFilter(0.05, 2.5, 2); // 2.46
 */
export function pressureBehindFilter(filterLoss: number, p1Bar: number, flowNm3h: number): number {
  return p1Bar - (filterLoss * flowNm3h) / p1Bar;
}

/**
 * Air that a line passes at a pressure before its filter.
 *
 * @param p1Bar at the tap, absolute
 * @param p2Bar behind the nozzle, absolute
 * @param t1K temperature of the air, K
 * @returns Nm³/h (DIN 1343)
 * Source: ISO 6358-1 for the nozzle, laminar filter before it; the balance is solved by bisection to 1e-9 of the flow.
 * @example
 * lineFlow({ conductance: 0.25, criticalRatio: 0.35, filterLoss: 0 }, 3, 1, 293.15); // 2.48290
 * @example
 * lineFlow({ conductance: 0.25, criticalRatio: 0.35, filterLoss: 0.05 }, 3, 1, 293.15); // 2.449113
 */
export function lineFlow(line: AirLine, p1Bar: number, p2Bar: number, t1K: number): number {
  if (p2Bar >= p1Bar) return 0;
  const passes = (p: number): number =>
    iso6358Flow(line.conductance, line.criticalRatio, p, p2Bar, t1K) / ANR_DM3S_PER_NM3H;
  let high = passes(p1Bar);
  if (line.filterLoss <= 0) return high;
  let low = 0;
  for (let step = 0; step < 30; step++) {
    const middle = (low + high) / 2;
    if (passes(pressureBehindFilter(line.filterLoss, p1Bar, middle)) > middle) low = middle;
    else high = middle;
  }
  return (low + high) / 2;
}

/**
 * Pressure before the filter at which a line passes a wanted flow: the inverse of `lineFlow`.
 *
 * @param flowNm3h wanted, Nm³/h, ≥ 0
 * @returns absolute pressure at the tap, bar
 * Source: as `lineFlow`; behind the filter by bisection, across it from p1² − p·p1 − a·q = 0.
 * @example
 * linePressure({ conductance: 0.25, criticalRatio: 0.35, filterLoss: 0.05 }, 2.449112864, 1, 293.15); // 3.0000000
 */
export function linePressure(line: AirLine, flowNm3h: number, p2Bar: number, t1K: number): number {
  if (!(flowNm3h > 0)) return p2Bar;
  const wanted = flowNm3h * ANR_DM3S_PER_NM3H;
  let behind = wanted / (line.conductance * Math.sqrt(293.15 / t1K));
  if (p2Bar / behind > line.criticalRatio) {
    let low = p2Bar;
    let high = Math.max(behind, p2Bar) * 2 + 1;
    for (let step = 0; step < 44; step++) {
      const middle = (low + high) / 2;
      if (iso6358Flow(line.conductance, line.criticalRatio, middle, p2Bar, t1K) < wanted) low = middle;
      else high = middle;
    }
    behind = (low + high) / 2;
  }
  return (behind + Math.sqrt(behind * behind + 4 * line.filterLoss * flowNm3h)) / 2;
}
