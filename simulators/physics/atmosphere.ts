/**
 * Pressure of the standard atmosphere at an altitude.
 *
 *   p = 1.01325 · (1 − 2.25577e-5·h)^5.25588
 *
 * @param altitudeM m above sea level, −430 … 9000
 * @returns absolute pressure, bar
 * @throws {RangeError} outside that range or not finite
 * Source: ISO 2533:1975, troposphere (6.5 K/km, 288.15 K at sea level); exponent and factor follow from it. From memory.
 * @example
 * atmosphereBar(0); // 1.01325
 * @example
 * atmosphereBar(1000); // 0.898746
 */
export function atmosphereBar(altitudeM: number): number {
  if (!(altitudeM >= -430 && altitudeM <= 9000))
    throw new RangeError(`altitude ${altitudeM} m, expected -430 to 9000 m`);
  return 1.01325 * (1 - 2.25577e-5 * altitudeM) ** 5.25588;
}
