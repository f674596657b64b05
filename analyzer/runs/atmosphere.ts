/** Pressure at sea level, bar. Source: ISO 2533, standard atmosphere. */
const SEA_LEVEL_BAR = 1.01325;

/**
 * Air pressure outside at a height above sea level.
 *
 *   1.01325 bar · (1 − 0.0065 K/m · h / 288.15 K)^5.25588
 *
 * @param altitudeM height, m, −1000 to 11 000
 * @returns absolute pressure, bar
 * @throws {RangeError} if the height is not finite or out of range
 * Source: ISO 2533, standard atmosphere, troposphere (lapse 6.5 K/km, g/(R·L) = 5.25588).
 * @example
 * atmosphereBar(1000); // 0.898746
 */
export function atmosphereBar(altitudeM: number): number {
  if (!(altitudeM >= -1000 && altitudeM <= 11_000))
    throw new RangeError(`altitude ${altitudeM} m: expected -1000 to 11000`);
  return SEA_LEVEL_BAR * (1 - (0.0065 * altitudeM) / 288.15) ** 5.25588;
}
