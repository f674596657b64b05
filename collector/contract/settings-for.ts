import type { Settings, Tunables } from './settings.ts';

type Override = Settings['overrides'][number];

/** What settings are asked for; what is absent is any. */
export interface Subject {
  readonly gun?: string | undefined;
  readonly powder?: string | undefined;
  readonly part?: string | undefined;
}

/**
 * The settings that hold for one gun, powder and part: the site's values, overridden by every entry
 * that matches. The narrowest wins: an entry that names the gun beats one that names only a powder, which
 * beats one that names only a part; an entry that names two beats one of them alone; of two alike the later stands.
 */
export function settingsFor(settings: Settings, subject: Subject): Tunables {
  const { overrides, ...site } = settings;
  const result: Tunables = { ...site };
  for (const { gun: _gun, powder: _powder, part: _part, ...values } of matchingOverrides(overrides, subject))
    Object.assign(result, values);
  return result;
}

/**
 * Where each of those values comes from.
 *
 * @returns by setting the override that it stands in; a setting whose value is the site's is absent
 */
export function originsFor(settings: Settings, subject: Subject): Partial<Record<keyof Tunables, Override>> {
  const origins: Partial<Record<keyof Tunables, Override>> = {};
  for (const entry of matchingOverrides(settings.overrides, subject)) {
    const { gun: _gun, powder: _powder, part: _part, ...values } = entry;
    for (const key of Object.keys(values) as (keyof Tunables)[]) origins[key] = entry;
  }
  return origins;
}

/** Overrides that match, the narrowest last. */
function matchingOverrides(overrides: readonly Override[], subject: Subject): Override[] {
  const rank = (entry: Override): number => (entry.gun ? 4 : 0) + (entry.powder ? 2 : 0) + (entry.part ? 1 : 0);
  return overrides
    .filter(
      (entry) =>
        (entry.gun === undefined || entry.gun === subject.gun) &&
        (entry.powder === undefined || entry.powder === subject.powder) &&
        (entry.part === undefined || entry.part === subject.part),
    )
    .sort((left, right) => rank(left) - rank(right));
}
