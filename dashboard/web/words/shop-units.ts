import { decimal } from './figures.ts';
import type { Quantity, Units } from './units.ts';

/** Source: NIST SP 811 (2008) appendix B, 1 lb = 0.45359237 kg. */
const LB_PER_KG = 1 / 0.45359237;
/**
 * m3 at 0 °C and 1013.25 hPa (DIN 1343) to standard ft3 at 68 °F and 14.696 psi.
 * Source: 60 times the ratio of the flows in units.ts, 0.631671149 ft3/min per m3/h.
 */
const SCF_PER_NM3 = 37.90026894;
const NNBSP = '\u202f';

/** A mass of powder given in kg. */
export function powder(kilograms: number, units: Units): Quantity {
  return units === 'us' ? { value: kilograms * LB_PER_KG, unit: 'lb' } : { value: kilograms, unit: 'kg' };
}

/** The same back, as typed by people. */
export function kilogramsOf(value: number, units: Units): number {
  return units === 'us' ? value / LB_PER_KG : value;
}

/** A normal volume of air given in m3 at 0 °C and 1013.25 hPa. */
export function airVolume(m3: number, units: Units): Quantity {
  return units === 'us' ? { value: m3 * SCF_PER_NM3, unit: 'scf' } : { value: m3, unit: 'Nm³' };
}

/** An amount in the shop's own currency: a code of ISO 4217 as such, any other text after the number. */
export function money(value: number | null, currency: string): string {
  if (value === null) return '–';
  const digits = Math.abs(value) >= 1000 ? 0 : 2;
  const number = decimal(value, digits);
  return currency === '' ? number : `${number}${NNBSP}${currency}`;
}

/** A number for a table: a dash where it is not known, no more digits than it deserves. */
export function figure(value: number | null, digits: number): string {
  return value === null ? '–' : decimal(value, digits);
}

/** "2026-03" as "Mar 2026". */
export function monthName(month: string): string {
  const [year = 0, of = 1] = month.split('-').map(Number);
  return new Intl.DateTimeFormat('en-GB', { month: 'short', year: 'numeric', timeZone: 'UTC' }).format(
    Date.UTC(year, of - 1, 15),
  );
}
