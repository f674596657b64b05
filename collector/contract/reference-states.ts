/** Reference states in which a flow sensor may report normal volumes. */
export const REFERENCE_STATES = ['din1343', 'iso2533', 'iso8778', 'scfm68', 'scfm60'] as const;
export type ReferenceState = (typeof REFERENCE_STATES)[number];

/** 14.696 psi in Pa. Source of the pound per square inch: NIST SP 811 (2008) appendix B.8. */
const US_STANDARD_PA = 14.696 * 6894.757293168361;

/**
 * Temperature in K and pressure in Pa of each state. Sources: DIN 1343:1990 (0 °C, 101 325 Pa); ISO 2533:1975
 * (15 °C, 101 325 Pa); ISO 8778:2003 (20 °C, 100 kPa; its 65 % humidity is left out); US gas and
 * compressed-air practice (68 °F or 60 °F, 14.696 psi).
 */
const STATES: Readonly<Record<ReferenceState, { readonly kelvin: number; readonly pascal: number }>> = {
  din1343: { kelvin: 273.15, pascal: 101_325 },
  iso2533: { kelvin: 288.15, pascal: 101_325 },
  iso8778: { kelvin: 293.15, pascal: 100_000 },
  scfm68: { kelvin: 293.15, pascal: US_STANDARD_PA },
  scfm60: { kelvin: ((60 - 32) * 5) / 9 + 273.15, pascal: US_STANDARD_PA },
};

/**
 * Factor from a volume at a reference state to the same amount of air at DIN 1343, as an ideal gas:
 * volumes are in the ratio of p/T.
 *
 * @example
 * toDin1343('iso8778'); // 0.919590961294487
 */
export function toDin1343(state: ReferenceState): number {
  if (state === 'din1343') return 1;
  const { kelvin, pascal } = STATES[state];
  const normal = STATES.din1343;
  return pascal / kelvin / (normal.pascal / normal.kelvin);
}
