import type { Plant } from './plant.ts';
import type { Settings } from './settings.ts';

/**
 * One sentence for each override of a gun that the plant does not have. No fault: a gun may have been taken down and come back; but a
 * mistyped id would change nothing without a word.
 */
export function idleOverrides(settings: Settings, plant: Plant): string[] {
  const known = new Set(plant.guns.map(({ id }) => id));
  return settings.overrides.flatMap(({ gun }, row) =>
    gun === undefined || known.has(gun)
      ? []
      : [`overrides.${row}.gun: found ${gun}, which the plant does not have: this override changes nothing`],
  );
}
