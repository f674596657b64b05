import { z } from 'zod';
import { BenchCheck, LoopJob, OutOfService, RuleOverride, ShiftCalendar } from '../../../analyzer/index.ts';
import { ACTIONS, FOUND, PART_IDS } from '../../../collector/contract/index.ts';

export const Ms = z.number().meta({ description: 'epoch ms' });
const Part = z.enum(PART_IDS);
const Sprayed = z.strictObject({
  sprayHours: z.number(),
  kilograms: z.number().nullable().meta({ description: 'Null where most of the spraying was without a known output' }),
  outputKnown: z.number().meta({ description: 'Share of the spray hours whose output was read' }),
});
const Interval = {
  sprayHours: z.number().nullable(),
  kilograms: z.number().nullable(),
  days: z.number().nullable(),
};

/** How a part is kept, and where that comes from. */
export const RuleShown = z
  .strictObject({
    ...Interval,
    work: z.enum(['change', 'check']),
    safetyRelevant: z.boolean(),
    airMayExtend: z.boolean(),
    from: z.enum(['usual', 'site', 'gun']),
  })
  .meta({ id: 'RuleInForce' });

export const PartShown = z
  .strictObject({
    gun: z.string(),
    part: Part,
    fittedSince: Ms.nullable().meta({ description: 'Last logged change, epoch ms; null where none was logged' }),
    countedFrom: Ms.nullable().meta({
      description:
        'From when hours and powder count, epoch ms; later than the fitting where no spray run is known of before',
    }),
    sinceFitted: Sprayed,
    days: z.number().nullable(),
    lastCare: z
      .strictObject({
        entry: z.number(),
        time: Ms,
        action: z.enum(ACTIONS),
        found: z.enum(FOUND).nullable(),
        measured: z.strictObject({ value: z.number(), unit: z.string() }).nullable(),
      })
      .nullable(),
    intervalFrom: Ms.nullable(),
    sinceCare: Sprayed,
    daysSinceCare: z.number().nullable(),
    ranOut: z.strictObject({ sprayHours: Ms.nullable(), kilograms: Ms.nullable() }),
    rule: RuleShown,
    expected: z
      .strictObject({
        from: z.enum(['air', 'life', 'interval']),
        livesOf: z
          .enum(['gun', 'family', 'all'])
          .nullable()
          .meta({ description: 'Whose lives: of the gun, with its powder family, or all; null where not from lives' }),
        sprayHours: z
          .strictObject({ p10: z.number().nullable(), p50: z.number(), p90: z.number().nullable() })
          .nullable(),
        kilograms: z.number().nullable(),
        days: z.number().nullable(),
      })
      .nullable(),
    due: Ms.nullable().meta({ description: 'When the plan asks for it, epoch ms' }),
  })
  .meta({ id: 'FittedPart' });
export type PartShown = z.infer<typeof PartShown>;

export const DueShown = z
  .strictObject({
    gun: z.string(),
    gunName: z.string(),
    part: Part,
    work: z.enum(['change', 'check']),
    due: Ms.nullable().meta({ description: 'Null where the gun is not used, so that its hours do not run' }),
    by: z.enum(['sprayHours', 'kilograms', 'days', 'air', 'life', 'found']),
    intervalDue: Ms.nullable(),
    since: Ms,
    safetyRelevant: z.boolean(),
    why: z.array(z.string()),
    overdue: z.boolean(),
    job: z.string().nullable().meta({ description: 'The job that it has become' }),
  })
  .meta({ id: 'DueWork' });
export type DueShown = z.infer<typeof DueShown>;

const stated = <T extends z.ZodType>(value: T) =>
  z.strictObject({
    version: z.number().int().meta({ description: '0 while nobody has set anything' }),
    value,
    who: z.string(),
    at: Ms.nullable(),
  });
export const StatedCalendar = stated(ShiftCalendar).meta({ id: 'StatedCalendar' });
export type StatedCalendar = z.infer<typeof StatedCalendar>;
export const StatedService = stated(OutOfService.nullable()).meta({ id: 'StatedService' });
export const StatedRule = stated(RuleOverride.nullable()).meta({ id: 'StatedInterval' });
export const RuleRow = z
  .strictObject({
    part: Part,
    usual: RuleShown,
    set: z.array(z.strictObject({ gun: z.string().nullable(), stated: StatedRule })),
  })
  .meta({ id: 'PartIntervals' });
export type RuleRow = z.infer<typeof RuleRow>;

/** All of one gun on a page. */
export const GunPage = z
  .strictObject({
    gun: z.string(),
    name: z.string(),
    pace: z.strictObject({ perWorkingHour: z.number(), kilogramsPerSprayHour: z.number().nullable() }),
    sprayed: Sprayed.nullable().meta({ description: 'Since its first spray run' }),
    service: StatedService,
    outOfService: OutOfService.nullable().meta({ description: 'In force now: a gun that sprays is in service' }),
    parts: z.array(PartShown),
    due: z.array(DueShown),
    jobs: z.array(LoopJob),
  })
  .meta({ id: 'GunPage' });
export type GunPage = z.infer<typeof GunPage>;

export const Checks = z
  .strictObject({ cautions: z.array(z.string()), checks: z.array(BenchCheck) })
  .meta({ id: 'BenchChecks' });
export type Checks = z.infer<typeof Checks>;

const Week = z.strictObject({
  from: Ms,
  to: Ms,
  raised: z.number().int(),
  perGun: z.record(z.string(), z.number().int()),
});
export const AlertLoadShown = z
  .strictObject({
    weeks: z.array(Week),
    standing: z.number().int(),
    unacknowledged: z.number().int(),
    shelved: z.number().int(),
    suppressed: z.number().int(),
    stale: z.array(z.string()),
    chattering: z.array(z.strictObject({ gun: z.string().nullable(), cause: z.string(), times: z.number().int() })),
    perGunWeek: z.number(),
  })
  .meta({ id: 'AlertLoad' });
export type AlertLoadShown = z.infer<typeof AlertLoadShown>;
