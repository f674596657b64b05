import type { Settings, Tunables } from './settings.ts';
import { settingsFor } from './settings-for.ts';

/** Two values of settings that cannot both hold; `path` is where the second of them stands. */
export type Contradiction = { readonly path: readonly (string | number)[] } & (
  | { readonly kind: 'beyond-limit'; readonly smallestChange: number; readonly changeLimitExcessAir: number }
  | { readonly kind: 'twice'; readonly value: number; readonly row: number; readonly other: number }
);

type Override = Settings['overrides'][number];

/**
 * What contradicts itself in settings whose values are each within their range: a change that is worth a visit only beyond the limit at
 * which the part has to go, for the hall or for whoever has other values; and two other values for the same gun, powder and part.
 */
export function contradictions(settings: Settings): Contradiction[] {
  const found: Contradiction[] = [];
  const { overrides, ...site } = settings;
  const beyond = (path: Contradiction['path'], { smallestChange, changeLimitExcessAir }: Tunables): void => {
    found.push({ path, kind: 'beyond-limit', smallestChange, changeLimitExcessAir });
  };
  if (isBeyond(site)) beyond(['smallestChange'], site);
  for (const [row, one] of overrides.entries()) {
    for (const [index, earlier] of overrides.slice(0, row).entries()) {
      if (!isAlike(earlier, one)) continue;
      const key = keysOf(one).find((name) => earlier[name] !== undefined && earlier[name] !== one[name]);
      if (key === undefined) continue;
      found.push({ path: ['overrides', row, key], kind: 'twice', value: one[key]!, row: index, other: earlier[key]! });
      break;
    }
    const held = settingsFor(settings, one);
    if (isBeyond(held) && !isBeyond(site))
      beyond(['overrides', row, one.smallestChange === undefined ? 'changeLimitExcessAir' : 'smallestChange'], held);
  }
  return found;
}

const isBeyond = ({ smallestChange, changeLimitExcessAir }: Tunables): boolean => smallestChange > changeLimitExcessAir;

const isAlike = (one: Override, other: Override): boolean =>
  one.gun === other.gun && one.powder === other.powder && one.part === other.part;

const keysOf = ({ gun: _gun, powder: _powder, part: _part, ...values }: Override): (keyof Tunables)[] =>
  Object.keys(values) as (keyof Tunables)[];
