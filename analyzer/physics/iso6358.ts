/** Reference temperature of ISO 6358 and ISO 8778 (ANR), K. Source: ISO 8778, 20 °C. */
export const ANR_KELVIN = 293.15;

/**
 * Volume at ANR (20 °C, 100 kPa) of one cubic metre at DIN 1343 (0 °C, 1013.25 hPa), humidity ignored.
 * Source: ideal gas between the two reference states, ISO 8778 and DIN 1343; 1.087440.
 */
export const ANR_PER_NORMAL = (ANR_KELVIN / 273.15) * (1.01325 / 1);

/** Density of air at ANR with 65 % relative humidity, kg/m3. Source: ISO 6358-1, ISO 8778. */
const ANR_DENSITY = 1.185;

const DM3_S_PER_M3_H = 1 / 3.6;

/** A restriction as ISO 6358-1 describes it. */
export interface Restriction {
  /** Sonic conductance C, dm3/(s·bar) ANR, > 0. */
  readonly conductance: number;
  /** Critical pressure ratio b, 0 <= b < 1. */
  readonly criticalRatio: number;
}

/** Absolute pressures before and after a restriction, and the air's temperature before it. */
export interface FlowState {
  /** Upstream absolute pressure p1, bar, > 0. */
  readonly upstreamBar: number;
  /** Downstream absolute pressure p2, bar, >= 0. */
  readonly downstreamBar: number;
  /** Upstream temperature T1, K, > 0; default 293.15. */
  readonly upstreamKelvin?: number;
}

/**
 * Share of the choked flow that passes at a pressure ratio: 1 up to the critical ratio, falling
 * along a quarter ellipse to 0 at equal pressures, and 0 beyond (no flow back is computed).
 *
 *   sqrt(1 - ((r - b) / (1 - b))^2)
 *
 * @param pressureRatio r = p2/p1 of absolute pressures, >= 0
 * @param criticalRatio b, 0 <= b < 1
 * @returns share, 0 to 1; its slope at r = 1 is infinite: do not differentiate it there
 * @throws {RangeError} if a number is out of range or not finite
 * Source: ISO 6358-1:2013, subsonic flow with exponent m = 0.5.
 * @example
 * chokedShare(5 / 7, 0.3); // 0.806058
 */
export function chokedShare(pressureRatio: number, criticalRatio: number): number {
  if (!(pressureRatio >= 0 && pressureRatio < Number.POSITIVE_INFINITY))
    throw new RangeError(`pressure ratio ${pressureRatio}: expected a finite number, 0 or more`);
  if (!(criticalRatio >= 0 && criticalRatio < 1))
    throw new RangeError(`critical ratio ${criticalRatio}: expected 0 <= b < 1`);
  if (pressureRatio <= criticalRatio) return 1;
  if (pressureRatio >= 1) return 0;
  const along = (pressureRatio - criticalRatio) / (1 - criticalRatio);
  return Math.sqrt(1 - along * along);
}

/**
 * Flow through a restriction.
 *
 *   q = C · p1 · sqrt(293.15 K / T1) · chokedShare(p2/p1, b)
 *
 * @param restriction conductance C in dm3/(s·bar) and critical ratio b
 * @param state absolute pressures in bar, temperature in K
 * @returns flow in m3/h at DIN 1343, the unit of all flow channels; 0 when p2 >= p1
 * @throws {RangeError} if a number is out of range or not finite
 * Source: ISO 6358-1:2013; checked in tests/published/iso6358.test.ts.
 * @example
 * restrictionFlow({ conductance: 0.2, criticalRatio: 0.5 }, { upstreamBar: 6, downstreamBar: 1 }); // 3.972633
 */
export function restrictionFlow(restriction: Restriction, state: FlowState): number {
  const anrDm3PerSecond = checkedConductance(restriction.conductance) * drive(restriction.criticalRatio, state);
  return anrDm3PerSecond / DM3_S_PER_M3_H / ANR_PER_NORMAL;
}

/**
 * Conductance that a restriction must have to pass a measured flow: the inverse of `restrictionFlow`.
 *
 * @param flowNm3h flow, m3/h at DIN 1343, finite; a small negative flow (a sensor's zero) gives a negative conductance
 * @param criticalRatio b, 0 <= b < 1
 * @param state absolute pressures in bar with p2 < p1, temperature in K
 * @returns C in dm3/(s·bar) ANR; NaN where p2 >= p1, because equal pressures say nothing of a restriction
 * @throws {RangeError} if a number is out of range or not finite
 * Source: ISO 6358-1:2013, solved for C.
 * @example
 * conductanceFromFlow(3.972633, 0.5, { upstreamBar: 6, downstreamBar: 1 }); // 0.2
 */
export function conductanceFromFlow(flowNm3h: number, criticalRatio: number, state: FlowState): number {
  if (!Number.isFinite(flowNm3h)) throw new RangeError(`flow ${flowNm3h}: expected a finite number`);
  const perConductance = drive(criticalRatio, state);
  return perConductance === 0 ? Number.NaN : (flowNm3h * DM3_S_PER_M3_H * ANR_PER_NORMAL) / perConductance;
}

/**
 * Mass flow through a restriction.
 *
 * @returns mass flow in kg/s, air of 65 % relative humidity at the reference state
 * @throws {RangeError} if a number is out of range or not finite
 * Source: ISO 6358-1:2013, qm = C · p1 · rho0 · sqrt(T0/T1) · share, rho0 = 1.185 kg/m3.
 * @example
 * restrictionMassFlow({ conductance: 4, criticalRatio: 0.3 }, { upstreamBar: 7, downstreamBar: 1 }); // 0.03318
 */
export function restrictionMassFlow(restriction: Restriction, state: FlowState): number {
  return (checkedConductance(restriction.conductance) * drive(restriction.criticalRatio, state) * ANR_DENSITY) / 1000;
}

/** Flow per unit of conductance, dm3/s ANR per dm3/(s·bar): p1 · sqrt(T0/T1) · share. */
function drive(criticalRatio: number, { upstreamBar, downstreamBar, upstreamKelvin = ANR_KELVIN }: FlowState): number {
  if (!(upstreamBar > 0 && upstreamBar < Number.POSITIVE_INFINITY))
    throw new RangeError(`upstream pressure ${upstreamBar} bar: expected an absolute pressure above 0`);
  if (!(upstreamKelvin > 0 && upstreamKelvin < Number.POSITIVE_INFINITY))
    throw new RangeError(`temperature ${upstreamKelvin} K: expected a finite number above 0`);
  return upstreamBar * Math.sqrt(ANR_KELVIN / upstreamKelvin) * chokedShare(downstreamBar / upstreamBar, criticalRatio);
}

function checkedConductance(conductance: number): number {
  if (!(conductance > 0 && conductance < Number.POSITIVE_INFINITY))
    throw new RangeError(`conductance ${conductance} dm3/(s·bar): expected a finite number above 0`);
  return conductance;
}
