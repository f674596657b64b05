import type { PartId } from './parts.ts';
import type { Settings } from './settings.ts';

/** Guns by id, with the parts that the plant file names for them; absent for all parts. */
export interface KnownGuns {
  readonly guns: readonly { readonly id: string; readonly parts?: readonly PartId[] | undefined }[];
}

/** An override that speaks of what is not there, or that gives no value. */
export interface IdleOverride {
  readonly row: number;
  readonly key: 'gun' | 'powder' | 'part' | 'value';
  readonly found: string;
  /** As it goes on after `found`: "which the plant does not have". */
  readonly why: string;
  /** All of that in one line. */
  readonly sentence: string;
}

/**
 * Overrides of a gun or part that the plant does not have, of a powder that nobody knows, or without any value. No fault: a gun may have been taken down and
 * come back, a powder is still to come; but a mistyped name would change nothing without a word.
 *
 * @param powders those of the plant file and those that were sprayed; null where they are not known
 */
export function idleOverrides(
  settings: Settings,
  { guns }: KnownGuns,
  powders: readonly string[] | null = null,
): IdleOverride[] {
  return settings.overrides.flatMap(({ gun, powder, part, ...values }, row): IdleOverride[] => {
    const idle = (key: IdleOverride['key'], found: string, why: string): IdleOverride => ({
      ...{ row, key, found, why },
      sentence: `overrides[${row}].${key}: found ${found}, ${why}: this override changes nothing`,
    });
    const known = gun === undefined ? guns : guns.filter(({ id }) => id === gun);
    if (gun !== undefined && known.length === 0) return [idle('gun', gun, 'which the plant does not have')];
    if (powder !== undefined && powders !== null && !powders.includes(powder))
      return [idle('powder', powder, 'which the plant file does not name and nobody has sprayed yet')];
    if (part !== undefined && known.every(({ parts }) => parts !== undefined && !parts.includes(part)))
      return [idle('part', part, `which ${gun ?? 'no gun'} ${gun === undefined ? 'has' : 'does not have'}`)];
    if (Object.keys(values).length === 0)
      return [
        {
          ...{ row, key: 'value', found: 'no value', why: 'where the hall’s holds anyway' },
          sentence: `overrides[${row}]: found no value, expected one that differs from the hall’s: this override changes nothing`,
        },
      ];
    return [];
  });
}
