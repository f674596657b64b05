import { PART_RULES } from '../../analyzer/index.ts';
import type { PartId } from '../../collector/contract/index.ts';

/**
 * Spray hours until the usual interval asks for a change, whichever of its counts comes first; null where the part is changed
 * only when a check says so, or its age is not known.
 *
 * @param age spray hours since it was fitted; null where that was not logged
 * @param days days since then; null where they do not count
 * @param perDay spray hours of the gun in a calendar day
 */
export function usualInterval(part: PartId, age: number | null, days: number | null, perDay: number): number | null {
  const rule = PART_RULES[part];
  if (rule.work !== 'change') return null;
  const bySpray = rule.sprayHours === null || age === null ? null : rule.sprayHours - age;
  const byDays = rule.days === null || days === null ? null : (rule.days - days) * perDay;
  const known = [bySpray, byDays].filter((left) => left !== null);
  return known.length === 0 ? null : Math.max(0, Math.min(...known));
}
