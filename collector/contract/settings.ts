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
