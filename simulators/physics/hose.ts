/** Density of dry air at 0 °C and 1013.25 hPa, kg/m³. Source: DIN 1343 state, ideal gas, R of ISO 2533. */
const NORMAL_DENSITY = 1.292270749487511;

/**
 * Solids loading ratio of the cloud: powder mass flow over air mass flow.
 *
 * @param outputGmin powder, g/min
 * @param totalAirNm3h conveying and supplementary air, Nm³/h, > 0
 * @returns kg powder per kg air
 * Source: definition; worked cases in the reference tables on pneumatic conveying.
 * @example
 * loadingRatio(150, 4); // 1.741121
 */
export function loadingRatio(outputGmin: number, totalAirNm3h: number): number {
  return (outputGmin * 0.06) / (totalAirNm3h * NORMAL_DENSITY);
}

/**
 * Back pressure of hose and gun at the pump's outlet.
 *
 *   p = k·(q/4)²·(1 + 1.5·µ)
 *
 * @param factor k, bar at 4 Nm³/h of air alone: 0.015 for 6 m of 11 mm hose
 * @param totalAirNm3h Nm³/h
 * @param outputGmin g/min
 * @returns bar above the atmosphere
 * Source: own choice, because only the form is published (pressure drop of a gas–particle stream rises linearly with its loading,
 * ASME J. Fluids Eng. 104(1) 88, abstract); 0.015 bar is pipe friction at 12.5 m/s with a friction factor of 0.03.
 * @example
 * backPressureBar(0.015, 4, 150); // 0.054175
 */
export function backPressureBar(factor: number, totalAirNm3h: number, outputGmin: number): number {
  if (totalAirNm3h <= 0) return 0;
  return factor * (totalAirNm3h / 4) ** 2 * (1 + 1.5 * loadingRatio(outputGmin, totalAirNm3h));
}
