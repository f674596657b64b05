import { airVolume, powder } from '../words/shop-units.ts';
import type { Units } from '../words/units.ts';

/** Figures of the shop that stand beside the prices of parts. */
export const GENERAL = ['currency', 'energyPrice', 'specificEnergy', 'powderPrice', 'rejectCost'] as const;
export type General = (typeof GENERAL)[number];

/** Label of a figure in the units of the shop. */
export function figureLabel(name: General, units: Units): string {
  const us = units === 'us';
  return {
    currency: 'Currency, a code or your own text',
    energyPrice: 'Price of a kWh',
    specificEnergy: us ? 'kWh for 1000 scf of air' : 'kWh for a Nm³ of air',
    powderPrice: us ? 'Price of a lb of powder' : 'Price of a kg of powder',
    rejectCost: 'Cost of one rejected piece',
  }[name];
}

/** How many of what is stored (a kg, a Nm³) the shop's own figure is for. */
function perStored(name: General, units: Units): number {
  if (units !== 'us') return 1;
  if (name === 'powderPrice') return 1 / powder(1, 'us').value;
  return name === 'specificEnergy' ? 1000 / airVolume(1, 'us').value : 1;
}

/** A stored figure as people of the shop read it. Converted ones have four significant digits. */
export function figureShown(name: General, value: string | number | null | undefined, units: Units): string {
  if (value == null) return '';
  const factor = perStored(name, units);
  return typeof value === 'string' || factor === 1 ? String(value) : String(Number((value * factor).toPrecision(4)));
}

/** "0.12 kWh/Nm³", "3.166 kWh for 1000 scf". */
export function energyWords(kWhPerNm3: number, units: Units): string {
  const shown = figureShown('specificEnergy', kWhPerNm3, units);
  return units === 'us' ? `${shown} kWh for 1000 scf` : `${shown} kWh/Nm³`;
}

/**
 * What was typed as the figure that is stored. Text that is no number goes on as it is, so that the service names it; what nobody changed
 * stays what it was to the last digit.
 */
export function figureTyped(
  name: General,
  typed: string,
  before: string | number | null | undefined,
  units: Units,
): number | string | null {
  if (typed === figureShown(name, before, units)) return before ?? null;
  const number = numberTyped(typed);
  return typeof number === 'number' ? number / perStored(name, units) : number;
}

/** A number with comma or point; null for nothing. */
export function numberTyped(typed: string): number | string | null {
  const text = typed.trim().replace(',', '.');
  if (text === '') return null;
  return Number.isNaN(Number(text)) ? typed : Number(text);
}
