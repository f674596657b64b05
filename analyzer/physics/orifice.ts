/** Ratio of specific heats of air. Source: ISO 2533:1975. */
const GAMMA = 1.4;

/** Specific gas constant of dry air, J/(kg·K). Source: ISO 2533:1975. */
const GAS_CONSTANT = 287.05287;

/** Density of dry air at 0 °C and 1013.25 hPa, kg/m3. Source: ideal gas with the constant above, DIN 1343. */
const NORMAL_DENSITY = 101_325 / (GAS_CONSTANT * 273.15);

/** Ratio of absolute pressures at which a nozzle chokes: (2/(γ+1))^(γ/(γ-1)) = 0.528282. */
export const CRITICAL_RATIO = (2 / (GAMMA + 1)) ** (GAMMA / (GAMMA - 1));

/** A hole that air escapes through. */
export interface Orifice {
  readonly diameterMm: number;
  /** Discharge coefficient, 0 < Cd <= 1; default 1, an ideal nozzle. */
  readonly discharge?: number;
}

/**
 * Mass flow of air through an orifice, choked or not.
 *
 *   choked: Cd·A·p0·√(γ/(R·T0))·(2/(γ+1))^((γ+1)/(2(γ-1)))
 *
 * @param orifice diameter in mm, discharge coefficient
 * @param state upstream and downstream absolute pressure in bar, upstream temperature in K (default 293.15)
 * @returns kg/s; 0 when the downstream pressure is not below the upstream one
 * @throws {RangeError} if a number is out of range
 * Source: NASA Glenn Research Center, Mass Flow Choking; checked in tests/published/orifice.test.ts.
 * @example
 * orificeMassFlow({ diameterMm: 1 }, { upstreamBar: 7, downstreamBar: 1 }); // 0.0012977239
 */
export function orificeMassFlow(
  { diameterMm, discharge = 1 }: Orifice,
  {
    upstreamBar,
    downstreamBar,
    upstreamKelvin = 293.15,
  }: { readonly upstreamBar: number; readonly downstreamBar: number; readonly upstreamKelvin?: number },
): number {
  if (!(diameterMm > 0 && discharge > 0 && discharge <= 1))
    throw new RangeError(
      `orifice of ${diameterMm} mm, coefficient ${discharge}: expected above 0, coefficient at most 1`,
    );
  if (!(upstreamBar > 0 && downstreamBar >= 0 && upstreamKelvin > 0))
    throw new RangeError(
      `${upstreamBar} to ${downstreamBar} bar at ${upstreamKelvin} K: expected absolute pressures and temperature above 0`,
    );
  if (downstreamBar >= upstreamBar) return 0;
  const area = (Math.PI / 4) * (diameterMm / 1000) ** 2;
  const ratio = Math.max(downstreamBar / upstreamBar, CRITICAL_RATIO);
  const expansion = ratio ** (2 / GAMMA) - ratio ** ((GAMMA + 1) / GAMMA);
  const root = Math.sqrt(((2 * GAMMA) / (GAS_CONSTANT * upstreamKelvin * (GAMMA - 1))) * expansion);
  return discharge * area * upstreamBar * 1e5 * root;
}

/**
 * The same as volume flow at DIN 1343, the unit of all flow channels: what a leak of that size costs.
 *
 * @returns m3/h at 0 °C and 1013.25 hPa
 * @throws {RangeError} if a number is out of range
 * Source: as `orificeMassFlow`, over the density of dry air at the reference state.
 * @example
 * orificeFlow({ diameterMm: 1 }, { upstreamBar: 7, downstreamBar: 1 }); // 3.6151914
 */
export function orificeFlow(orifice: Orifice, state: Parameters<typeof orificeMassFlow>[1]): number {
  return (orificeMassFlow(orifice, state) / NORMAL_DENSITY) * 3600;
}
