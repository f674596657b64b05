import { z } from 'zod';
import { CATEGORIES, CONDITION_STATES } from '../collector/contract/index.ts';
import { PartSight } from './sight.ts';

const Interval = z.strictObject({ p10: z.number(), p50: z.number(), p90: z.number() });

/** What screens and the API show of one gun beside its findings. Air is m3/h DIN 1343, times are epoch ms. */
export const GunView = z.strictObject({
  id: z.string(),
  name: z.string(),
  state: z.enum(CONDITION_STATES),
  /** Which signal is still being learnt, and how far; null when all that can be judged is. */
  learning: z.strictObject({ signal: z.string(), have: z.number(), need: z.number() }).nullable(),
  powder: z.string().nullable(),
  /** Median output of the last 40 spray hours with this powder, g/min. */
  usualOutput: z.number().nullable(),
  /** Conveying air that a new insert needs for the usual output with this powder, m3/h. */
  neededAir: z.number().nullable(),
  /** Conveying air that the gun needs for it now, m3/h. */
  actualAir: z.number().nullable(),
  /** The same by powder, g/min and m3/h; air for another output: times (output / usualOutput) ^ (1 / elasticity). */
  airNeeds: z.array(
    z.strictObject({ powder: z.string(), usualOutput: z.number(), neededAir: z.number(), elasticity: z.number() }),
  ),
  /** actual / needed - 1 with its 80 % interval. */
  excessAir: Interval.nullable(),
  /** Change limit that applies to this gun, as excess air. */
  changeLimit: z.number(),
  /** Share of the way to the change limit that is left, 0 to 1. */
  wearLeft: z.number().nullable(),
  /** Spray hours to the change limit. */
  remaining: Interval.nullable(),
  insertSince: z.number().nullable(),
  /** False when the insert was there before the first reading: its start is estimated. */
  insertLogged: z.boolean(),
  sprayHoursSinceInsert: z.number().nullable(),
  kilogramsSinceInsert: z.number().nullable(),
  /** Spray hours of a usual shift of 8 h at this gun. */
  sprayHoursPerShift: z.number().nullable(),
  /** Reading time at which this holds. */
  asOf: z.number().nullable(),
  /** Since when its baseline has been learnt anew, epoch ms; null for the first one. */
  learntFrom: z.number().nullable().optional(),
  /** Why its baseline may hold wear as if it were normal, in a sentence; null where nothing speaks for it. */
  wornDoubt: z.string().nullable().optional(),
  /** Changes of parts that the air seems to show and nobody logged: excess air before and after with the deviation of the gain. */
  silentChanges: z
    .array(
      z.strictObject({
        part: z.string(),
        time: z.number(),
        noticed: z.number(),
        before: z.number(),
        after: z.number(),
        sd: z.number(),
        sprayHours: z.number().nullable(),
        /** The analysis takes the part as new already; false where it only asks. */
        counted: z.boolean(),
      }),
    )
    .optional(),
  /** What its sensors let be seen of each part; absent in views that an older version kept. */
  sight: z.array(PartSight).optional(),
});
export type GunView = z.infer<typeof GunView>;

/** How to check a part by hand before changing it, and how to judge what is seen. */
export const BenchCheck = z.strictObject({
  part: z.string(),
  title: z.string(),
  steps: z.array(z.string()),
  /** What each result means. */
  judge: z.strictObject({ good: z.string(), worn: z.string(), failed: z.string() }),
  /** What can be measured; null where there is only a look. */
  measure: z.strictObject({ what: z.string(), unit: z.string(), new: z.number(), worn: z.number() }).nullable(),
});
export type BenchCheck = z.infer<typeof BenchCheck>;

/** One thing to do next. */
export const Job = z.strictObject({
  rank: z.number().int(),
  gun: z.string().nullable(),
  gunName: z.string(),
  /** Part to change or check; null where no part is to blame (supply air, powder, sensors). */
  part: z.string().nullable(),
  cause: z.string(),
  category: z.enum(CATEGORIES),
  /** Short imperative: "Change the pump insert". */
  action: z.string(),
  /** Why, one short sentence with figures. */
  reason: z.string(),
  /** By when: shifts from now and spray hours of the gun; null where it is not a matter of wear. */
  byShifts: z.number().nullable(),
  bySprayHours: Interval.nullable(),
  /** Probability of the leading cause. */
  probability: z.number(),
  candidates: z.array(z.strictObject({ cause: z.string(), probability: z.number() })),
  /** The check that should come first, where one decides between the likeliest causes. */
  benchCheck: BenchCheck.nullable(),
  cautions: z.array(z.string()),
  finding: z.strictObject({ gun: z.string().nullable(), cause: z.string(), raised: z.string() }),
  evidence: z.array(z.string()),
});
export type Job = z.infer<typeof Job>;
