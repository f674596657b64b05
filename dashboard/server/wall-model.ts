import { z } from 'zod';
import { CATEGORIES, CONDITION_STATES } from '../../collector/contract/index.ts';

const Interval = z.strictObject({ p10: z.number(), p50: z.number(), p90: z.number() });

const WallJob = z.strictObject({
  gun: z.string().nullable(),
  gunName: z.string(),
  part: z.string().nullable(),
  cause: z.string(),
  category: z.enum(CATEGORIES),
  action: z.string(),
  reason: z.string(),
  byShifts: z.number().nullable(),
  bySprayHours: Interval.nullable(),
  probability: z.number().nullable().meta({ description: 'How sure the air makes it; null for work of the plan' }),
  /** Part to check by hand before anything is changed; null when the job can start at once. */
  checkFirst: z.string().nullable(),
  raised: z.string(),
});
export type WallJob = z.infer<typeof WallJob>;

const WallGun = z.strictObject({
  id: z.string(),
  name: z.string(),
  /** Null until the gun has been analysed for the first time. */
  state: z.enum(CONDITION_STATES).nullable(),
  /** Causes of its open findings, each once, worst first. */
  causes: z.array(z.string()),
  learning: z.strictObject({ signal: z.string(), have: z.number(), need: z.number() }).nullable(),
  wearLeft: z.number().nullable(),
  remaining: Interval.nullable(),
  /** Conveying air now and a new insert's need at the usual output, m3/h at 0 °C and 1013.25 hPa. */
  actualAir: z.number().nullable(),
  neededAir: z.number().nullable(),
  excessAir: Interval.nullable(),
  changeLimit: z.number().nullable(),
  usualOutput: z.number().nullable(),
  powder: z.string().nullable(),
  /** Newest reading, epoch ms; null before the first. */
  newest: z.number().nullable(),
  /** Age from which its data counts as lost, ms. */
  lostAfterMs: z.number(),
  online: z.boolean().nullable(),
  /** What it reads right now; absent where the channel is not fitted. */
  reading: z.strictObject({
    spraying: z.boolean().nullable(),
    flow: z.number().nullable(),
    pressure: z.number().nullable(),
    output: z.number().nullable(),
  }),
});
export type WallGun = z.infer<typeof WallGun>;

/** Everything the wall shows, in one piece: small enough to be sent whole on every change. */
export const Wall = z
  .strictObject({
    /** The server's clock when this was true, epoch ms. */
    now: z.number(),
    build: z.string(),
    site: z.strictObject({
      id: z.string(),
      name: z.string(),
      timezone: z.string(),
      units: z.enum(['metric', 'us']),
    }),
    /** The first five. */
    jobs: z.array(WallJob),
    jobsInAll: z.number().int(),
    guns: z.array(WallGun),
    /** Reading time up to which jobs and guns are known, where that lies well behind the readings; null where it does not. */
    analysedTo: z.number().nullable(),
    /** One sentence when readings are not being taken or analysed. */
    trouble: z.string().nullable(),
  })
  .meta({ id: 'Wall' });
export type Wall = z.infer<typeof Wall>;
