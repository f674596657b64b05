import { z } from 'zod';

/** NAMUR NE 107 status signals as the contract uses them, worst first. */
export const CATEGORIES = ['failure', 'function-check', 'out-of-specification', 'maintenance-required'] as const;
export type Category = (typeof CATEGORIES)[number];

const Time = z.iso.datetime();

/** One finding as it leaves the analyzer, live and in files alike. Times are ISO 8601 in UTC. */
export const Finding = z.strictObject({
  gun: z.string().nullable(),
  guns: z.array(z.string()).optional(),
  cause: z.string(),
  category: z.enum(CATEGORIES),
  onset: Time,
  raised: Time,
  asOf: Time,
  cleared: Time.nullable(),
  candidates: z.array(z.strictObject({ cause: z.string(), probability: z.number().min(0).max(1) })),
  excessAir: z.number().nullable(),
  remaining: z
    .strictObject({ sprayHours: z.strictObject({ p10: z.number(), p50: z.number(), p90: z.number() }) })
    .nullable(),
  evidence: z.array(z.string()),
});
export type Finding = z.infer<typeof Finding>;

export const CONDITION_STATES = ['good', 'learning', ...CATEGORIES] as const;
export type ConditionState = (typeof CONDITION_STATES)[number];

/** What is published, retained, for andon lights and the like: `airlines/<site>/<gun>/condition`. */
export const GunCondition = z.strictObject({
  id: z.string(),
  name: z.string(),
  state: z.enum(CONDITION_STATES),
  ageSeconds: z.number().nullable(),
  asOf: Time.nullable(),
  findings: z.array(Finding),
});
export type GunCondition = z.infer<typeof GunCondition>;
