import { z } from 'zod';
import { CHANNEL_NAMES } from './channels.ts';
import { PART_IDS } from './parts.ts';
import { REFERENCE_STATES } from './reference-states.ts';

/** Ids of guns, air points and sites: lower case, digits, `-`, at most 40 characters. */
export const Id = z.string().regex(/^[a-z0-9-]{1,40}$/, 'expected 1 to 40 of a-z, 0-9 and "-"');

/** Whether this is an IANA time zone that the system knows. */
export const isTimeZone = (zone: string): boolean => {
  try {
    new Intl.DateTimeFormat('en', { timeZone: zone });
    return true;
  } catch (error) {
    if (error instanceof RangeError) return false;
    throw error;
  }
};

const ChannelFitting = z.strictObject({
  reference: z.enum(REFERENCE_STATES).optional().meta({ description: 'Reference state of the sensor, for flows' }),
  range: z
    .tuple([z.number(), z.number()])
    .refine(([low, high]) => low < high, 'expected [low, high] with low below high')
    .optional()
    .meta({ description: 'Lowest and highest possible value, canonical unit' }),
});

const Name = z.string().min(1).max(120);
const Fitted = z.partialRecord(
  z.enum(CHANNEL_NAMES),
  ChannelFitting.nullable().transform((value) => value ?? {}),
);

const GunEntry = z.strictObject({
  id: Id,
  name: Name.optional(),
  supply: Id.optional().meta({ description: 'Air line; guns with the same one share their supply' }),
  output: z.enum(['measured', 'setpoint', 'coupled']).default('measured'),
  channels: Fitted.optional(),
  parts: z
    .array(z.enum(PART_IDS))
    .min(1)
    .max(PART_IDS.length)
    .optional()
    .meta({ description: 'Wearing parts that the gun has; default: all' }),
});

const AirEntry = z.strictObject({
  id: Id,
  name: Name.optional(),
  supply: Id.optional(),
  channels: Fitted.optional(),
});

/** The plant file: a site, its guns and air points, and what is known of its powders. */
export const Plant = z
  .strictObject({
    site: z.strictObject({
      id: Id,
      name: Name.optional(),
      timezone: z.string().refine(isTimeZone, 'expected an IANA time zone such as Europe/Vienna'),
      units: z.enum(['metric', 'us']).default('metric'),
      altitude: z.number().min(-430).max(9000).default(0).meta({ unit: 'm' }),
    }),
    guns: z.array(GunEntry).min(1).max(2000),
    air: z.array(AirEntry).max(500).default([]),
    powders: z
      .array(
        z.strictObject({
          id: z.string().min(1).max(80),
          name: Name.optional(),
          family: z.string().trim().min(1).max(40).optional().meta({
            description: 'Powders that wear parts alike, e.g. smooth, textured, metallic: lives are told apart by it',
          }),
        }),
      )
      .max(5000)
      .default([]),
  })
  .superRefine((plant, context) => {
    const seen = new Set<string>();
    const check = (entry: { id: string }, path: (string | number)[]): void => {
      if (seen.has(entry.id))
        context.addIssue({
          code: 'custom',
          path: [...path, 'id'],
          message: 'expected an id that no other gun or air point has',
        });
      seen.add(entry.id);
    };
    for (const [index, gun] of plant.guns.entries()) check(gun, ['guns', index]);
    for (const [index, air] of plant.air.entries()) check(air, ['air', index]);
  });
export type Plant = z.infer<typeof Plant>;
export type Gun = Plant['guns'][number];

/** Names of the powders that the plant file names, by id. */
export function powderNames({ powders }: Pick<Plant, 'powders'>): ReadonlyMap<string, string> {
  return new Map(powders.flatMap(({ id, name }) => (name === undefined ? [] : [[id, name] as const])));
}
