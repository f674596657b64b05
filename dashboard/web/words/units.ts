import { decimal } from './figures.ts';

/** The plant's choice of units, for people's eyes only: all values are sent in the contract's canonical units. */
export type Units = 'metric' | 'us';

export interface Quantity {
  readonly value: number;
  readonly unit: string;
}

const NNBSP = '\u202f';

/**
 * m3/h at 0 °C and 1013.25 hPa (DIN 1343) to standard ft3/min at 68 °F and 14.696 psi.
 * Source: ratio of p/T of the two states (293.15/273.15 · 1013.25/1013.2535), times 0.5885777787 ft3/min per m3/h (foot of 1959).
 */
const SCFM_PER_NM3H = 0.631671149;
/** Source: NIST SP 811 (2008) appendix B, 1 psi = 6894.757293168 Pa. */
const PSI_PER_BAR = 14.503773773;
/** Source: NIST SP 811 (2008) appendix B, 1 lb = 453.59237 g. */
const LB_H_PER_G_MIN = 0.132277357311;

/** A normal volume flow given in m3/h at 0 °C and 1013.25 hPa. */
export function flow(m3h: number, units: Units): Quantity {
  return units === 'us' ? { value: m3h * SCFM_PER_NM3H, unit: 'scfm' } : { value: m3h, unit: 'm³/h' };
}

/** A gauge pressure given in bar. */
export function pressure(bar: number, units: Units): Quantity {
  return units === 'us' ? { value: bar * PSI_PER_BAR, unit: 'psi' } : { value: bar, unit: 'bar' };
}

/** A powder mass flow given in g/min. */
export function output(gMin: number, units: Units): Quantity {
  return units === 'us' ? { value: gMin * LB_H_PER_G_MIN, unit: 'lb/h' } : { value: gMin, unit: 'g/min' };
}

/** Source: NIST SP 811 (2008) appendix B, 1 lb = 0.45359237 kg. */
const LB_PER_KG = 2.20462262185;

/** A mass given in kg. */
export function mass(kg: number, units: Units): Quantity {
  return units === 'us' ? { value: kg * LB_PER_KG, unit: 'lb' } : { value: kg, unit: 'kg' };
}

/** A number and its unit with a space that does not break. */
export function told({ value, unit }: Quantity, digits: number): string {
  return `${decimal(value, digits)}${NNBSP}${unit}`;
}

/** How sure, as per cent: never 100 and never 0, for neither is ever known. */
export function sureness(probability: number): string {
  return percent(Math.min(0.99, Math.max(0.01, probability)));
}

/** A share as per cent. */
export function percent(share: number): string {
  return `${Math.round(share * 100)}${NNBSP}%`;
}
