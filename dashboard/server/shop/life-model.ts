import { z } from 'zod';
import { PART_IDS } from '../../../collector/contract/index.ts';

const Limits = z.strictObject({ value: z.number(), low: z.number(), high: z.number() });

/** Lives of one part: of all guns, of one powder family or of one gun. */
export const LifeGroup = z
  .strictObject({
    part: z.enum(PART_IDS),
    group: z.string().nullable(),
    lives: z.number().int(),
    ended: z
      .number()
      .int()
      .meta({ description: 'Lives at whose end the part was found worn or failed; the others were cut short' }),
    unweighed: z.number().int(),
    enough: z.enum(['enough', 'thin', 'too thin']),
    says: z.string(),
    shape: Limits.nullable().meta({
      description: 'Weibull shape with 95 % limits (Fisher information, normal on the log scale)',
    }),
    scale: Limits.nullable().meta({ description: 'Time by which 63.2 % have ended' }),
    mean: z.number().nullable(),
    b10: Limits.nullable().meta({ description: 'Time by which a tenth has ended' }),
    median: Limits.nullable(),
    observed: z.array(z.strictObject({ time: z.number(), share: z.number(), low: z.number(), high: z.number() })),
    curve: z.array(z.strictObject({ share: z.number(), value: z.number(), low: z.number(), high: z.number() })),
    best: z.strictObject({
      age: z.number().nullable(),
      costRate: z.number().nullable(),
      costRateToEnd: z.number().nullable(),
      before: z.number().nullable(),
      says: z.string(),
    }),
  })
  .meta({ id: 'LifeGroup' });
export type LifeGroup = z.infer<typeof LifeGroup>;

export const LifeAnswer = z
  .strictObject({
    measure: z.enum(['sprayHours', 'kilograms']),
    by: z.enum(['all', 'family', 'gun']),
    currency: z.string(),
    groups: z.array(LifeGroup),
    left: z.strictObject({ noStart: z.number().int(), noReadings: z.number().int(), notUsed: z.number().int() }).meta({
      description:
        'Lives left out: fitted before the log begins; before the first reading; nothing sprayed between two changes',
    }),
  })
  .meta({ id: 'Lives' });
export type LifeAnswer = z.infer<typeof LifeAnswer>;
