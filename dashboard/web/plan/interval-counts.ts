import { counted } from '../../../collector/contract/counted.ts';
import type { RuleRow } from '../../server/upkeep/upkeep-model.ts';
import { decimal } from '../words/figures.ts';
import { powder } from '../words/shop-units.ts';
import type { Units } from '../words/units.ts';

/** What an interval counts. */
export const COUNTS = ['sprayHours', 'kilograms', 'days'] as const;
export type Count = (typeof COUNTS)[number];
export type Counts = { readonly [count in Count]?: number | null | undefined };

/** "60 spray hours", "170 spray hours or 1 500 kg", in the plant's units. */
export function intervalWords({ sprayHours, kilograms, days }: Counts, units: Units): string {
  const mass = kilograms == null ? null : powder(kilograms, units);
  const counts = [
    ...(sprayHours == null ? [] : [counted(sprayHours, 'spray hour')]),
    ...(mass === null ? [] : [`${decimal(mass.value, 0)} ${mass.unit}`]),
    ...(days == null ? [] : [counted(days, 'day')]),
  ];
  return counts.length === 0 ? 'at signs only' : counts.join(' or ');
}

/** A count as it stands in a field; empty where it does not count. */
export function countShown(count: Count, value: number | null | undefined, units: Units): string {
  if (value == null) return '';
  return count === 'kilograms' ? String(Math.round(10 * powder(value, units).value) / 10) : String(value);
}

/** What holds for a part of a gun, or of all guns: the usual, changed by what is set for the site, then by what is set for the gun. */
export function ruleOf({ usual, set }: RuleRow, gun: string | null): Counts {
  const given = (of: string | null): Counts =>
    Object.fromEntries(
      Object.entries(set.find((one) => one.gun === of)?.stated.value ?? {}).filter(([, value]) => value !== undefined),
    );
  return { ...usual, ...given(null), ...(gun === null ? {} : given(gun)) };
}
