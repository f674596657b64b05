/** m³ ANR (20 °C, 100 kPa, ISO 8778) in one normal m³ (0 °C, 1013.25 hPa, DIN 1343), ideal gas. */
export const ANR_PER_NORMAL = (293.15 / 273.15) * (1.01325 / 1.0);

/** dm³/s ANR in one Nm³/h. */
export const ANR_DM3S_PER_NM3H = ANR_PER_NORMAL / 3.6;

/**
 * Volume flow through a restriction by sonic conductance.
 *
 *   q = C·p1·√(293.15/T1)                                 while p2/p1 ≤ b (choked)
 *   q = C·p1·√(293.15/T1)·√(1 − ((p2/p1 − b)/(1 − b))²)   above
 *
 * @param conductance C, dm³/(s·bar) ANR, ≥ 0
 * @param criticalRatio b, 0 ≤ b < 1
 * @param p1Bar upstream pressure, absolute, > 0
 * @param p2Bar downstream pressure, absolute; from p1 upwards nothing flows
 * @param t1K upstream temperature, K
 * @returns dm³/s ANR, ≥ 0
 * Source: ISO 6358-1:2013.
 * @example
 * iso6358Flow(4, 0.3, 7, 3.5, 293.15); // 26.832815730
 * @example
 * iso6358Flow(4, 0.3, 7, 1, 293.15); // 28
 */
export function iso6358Flow(
  conductance: number,
  criticalRatio: number,
  p1Bar: number,
  p2Bar: number,
  t1K: number,
): number {
  if (p2Bar >= p1Bar) return 0;
  const choked = conductance * p1Bar * Math.sqrt(293.15 / t1K);
  const ratio = p2Bar / p1Bar;
  if (ratio <= criticalRatio) return choked;
  const over = (ratio - criticalRatio) / (1 - criticalRatio);
  return choked * Math.sqrt(1 - over * over);
}

/** Specific gas constant of dry air, J/(kg K), and isentropic exponent. Source: ISO 2533:1975. */
const GAS_CONSTANT = 287.05287;
const GAMMA = 1.4;

/**
 * Mass flow through an ideal nozzle (isentropic, with a discharge coefficient), choked or not.
 *
 * @param diameterMm throat of the nozzle, mm
 * @param p0Pa upstream stagnation pressure, Pa absolute
 * @param p2Pa downstream pressure, Pa absolute
 * @param t0K upstream temperature, K
 * @param discharge discharge coefficient, 0 … 1
 * @returns kg/s
 * Source: isentropic flow, NASA Glenn Research Center, Mass Flow Choking.
 * @example
 * nozzleMassFlow(1, 700000, 100000, 293.15, 1); // 0.0012977239062
 * @example
 * nozzleMassFlow(1, 600000, 400000, 293.15, 1); // 0.0010640718952
 */
export function nozzleMassFlow(diameterMm: number, p0Pa: number, p2Pa: number, t0K: number, discharge: number): number {
  const area = (Math.PI / 4) * (diameterMm / 1000) ** 2;
  const critical = (2 / (GAMMA + 1)) ** (GAMMA / (GAMMA - 1));
  const ratio = Math.max(critical, Math.min(1, p2Pa / p0Pa));
  const expansion = ratio ** (2 / GAMMA) - ratio ** ((GAMMA + 1) / GAMMA);
  return discharge * area * p0Pa * Math.sqrt(((2 * GAMMA) / (GAS_CONSTANT * t0K * (GAMMA - 1))) * expansion);
}

/**
 * Sonic conductance of a nozzle from its bore.
 *
 * @param diameterMm bore, mm
 * @param discharge discharge coefficient, 0 … 1
 * @returns C, dm³/(s·bar) ANR
 * Source: choked ideal nozzle over the ANR density of ISO 6358-1, 1.185 kg/m³: 0.19919390 per mm² (computed).
 * @example
 * nozzleConductance(1, 1); // 0.15644652
 */
export function nozzleConductance(diameterMm: number, discharge: number): number {
  return (nozzleMassFlow(diameterMm, 1e5, 0, 293.15, discharge) / 1.185) * 1000;
}
