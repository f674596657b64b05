import type { Settings } from '../../collector/contract/index.ts';

/**
 * Values that are tried for the two settings that trade false alarms for warning: false alarms accepted per gun and year,
 * and the smallest change worth a visit.
 * Source: own choice, because they span what a shop could want, evenly in their logarithm, around the defaults.
 */
const ALARMS = [0.05, 0.15, 0.3, 1, 3] as const;
const CHANGES = [0.02, 0.035, 0.05, 0.075, 0.11] as const;

/** 25 settings: the base with each pair of values; its own overrides of other settings stay, of these two they go. */
export function gridOf(base: Settings): Settings[] {
  const overrides = base.overrides
    .map(({ falseAlarmsPerGunYear: _alarms, smallestChange: _change, ...rest }) => rest)
    .filter(({ changeLimitExcessAir, leadTimeShifts, learningRuns }) =>
      [changeLimitExcessAir, leadTimeShifts, learningRuns].some((value) => value !== undefined),
    );
  return ALARMS.flatMap((falseAlarmsPerGunYear) =>
    CHANGES.map((smallestChange) => ({ ...base, falseAlarmsPerGunYear, smallestChange, overrides })),
  );
}
