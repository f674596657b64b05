import { z } from 'zod';
import { PART_IDS } from './parts.ts';
import { Id } from './plant.ts';

const tunable = {
  falseAlarmsPerGunYear: z.number().min(0.01).max(50).meta({
    description: 'Findings against a part accepted without cause, whole gun, all signals together',
    unit: 'per gun and year',
  }),
  changeLimitExcessAir: z.number().min(0.03).max(1).meta({
    description: 'Excess air at which a part has to go, until the log teaches the gun its own',
    unit: 'share of a new insert’s need',
  }),
  smallestChange: z.number().min(0.01).max(0.5).meta({
    description: 'Smallest excess air that is worth a visit',
    unit: 'share of a new insert’s need',
  }),
  leadTimeShifts: z.number().min(0).max(100).meta({ description: 'Notice wanted before the limit', unit: 'shifts' }),
  learningRuns: z.number().int().min(10).max(5000).meta({
    description: 'Runs before a gun and powder count as known',
    unit: 'spray runs',
  }),
};

const OverrideEntry = z.strictObject({
  gun: Id.optional(),
  powder: z.string().min(1).max(80).optional(),
  part: z.enum(PART_IDS).optional(),
  falseAlarmsPerGunYear: tunable.falseAlarmsPerGunYear.optional(),
  changeLimitExcessAir: tunable.changeLimitExcessAir.optional(),
  smallestChange: tunable.smallestChange.optional(),
  leadTimeShifts: tunable.leadTimeShifts.optional(),
  learningRuns: tunable.learningRuns.optional(),
});

/** The settings file: what people tune, in the trade's terms. */
export const Settings = z.strictObject({
  falseAlarmsPerGunYear: tunable.falseAlarmsPerGunYear.default(0.3),
  changeLimitExcessAir: tunable.changeLimitExcessAir.default(0.2),
  smallestChange: tunable.smallestChange.default(0.05),
  leadTimeShifts: tunable.leadTimeShifts.default(3),
  learningRuns: tunable.learningRuns.default(60),
  overrides: z
    .array(
      OverrideEntry.refine(
        (entry) => entry.gun !== undefined || entry.powder !== undefined || entry.part !== undefined,
        'expected a gun, powder or part that the override is for',
      ),
    )
    .max(2000)
    .default([]),
});
export type Settings = z.infer<typeof Settings>;
export type Tunables = Omit<Settings, 'overrides'>;

/** A version of the settings and the time from which findings follow it. */
export interface SettingsVersion {
  readonly version: number;
  /** Epoch ms; 0 for the version that was there from the beginning. */
  readonly adopted: number;
  readonly settings: Settings;
}

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
