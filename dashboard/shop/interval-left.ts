import { type RuleInForce, RuleOverride, ruleFor } from '../../analyzer/index.ts';
import type { PartId } from '../../collector/contract/index.ts';
import type { Store } from '../../collector/index.ts';

/** The interval that holds for a part of a gun: the usual one, or what the shop has set for the site or for this gun. */
export function intervalOf(store: Pick<Store, 'figures'>, gun: string, part: PartId): RuleInForce {
  return ruleFor(gun, part, (of, which) => {
    const stated = store.figures.current(`rule:${of ?? ''}:${which}`);
    const value = (stated?.body as { readonly value: unknown } | undefined)?.value ?? null;
    return value === null ? null : RuleOverride.parse(value);
  });
}

/**
 * Spray hours until an interval asks for a change, whichever of its counts comes first; null where the part is changed
 * only when a check says so, or its age is not known.
 *
 * @param age spray hours since it was fitted; null where that was not logged
 * @param days days since then; null where they do not count
 * @param perDay spray hours of the gun in a calendar day
 */
export function intervalLeft(
  rule: Pick<RuleInForce, 'work' | 'sprayHours' | 'days'>,
  age: number | null,
  days: number | null,
  perDay: number,
): number | null {
  if (rule.work !== 'change') return null;
  const bySpray = rule.sprayHours === null || age === null ? null : rule.sprayHours - age;
  const byDays = rule.days === null || days === null ? null : (rule.days - days) * perDay;
  const known = [bySpray, byDays].filter((left) => left !== null);
  return known.length === 0 ? null : Math.max(0, Math.min(...known));
}
