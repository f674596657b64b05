import { z } from 'zod';
import { partsOf } from '../../../analyzer/index.ts';
import { PART_IDS } from '../../../collector/contract/index.ts';
import { endpoint, ok } from '../endpoint.ts';

export const Site = z
  .strictObject({
    id: z.string(),
    name: z.string(),
    timezone: z.string(),
    units: z.enum(['metric', 'us']),
    guns: z.array(
      z.strictObject({
        id: z.string(),
        name: z.string(),
        parts: z.array(z.enum(PART_IDS)).meta({ description: 'Parts that it has by the plant file' }),
      }),
    ),
    air: z.array(z.strictObject({ id: z.string(), name: z.string() })),
    powders: z
      .array(z.strictObject({ id: z.string(), name: z.string() }))
      .meta({ description: 'Those that the plant file names' }),
  })
  .meta({ id: 'Site' });
export type Site = z.infer<typeof Site>;

const named = ({ id, name }: { id: string; name?: string | undefined }): { id: string; name: string } => ({
  id,
  name: name ?? id,
});

export const site = endpoint({
  method: 'get',
  path: '/api/site',
  summary: 'The plant: its time zone, units, guns and plant-air points',
  role: 'wall',
  success: { 200: 'The plant' },
  answer: Site,
  problems: [],
  handle({ sources: { plant } }) {
    const { id, name, timezone, units } = plant.site;
    const guns = plant.guns.map((gun) => ({ ...named(gun), parts: partsOf(gun) }));
    const powders = plant.powders.filter((powder) => powder.name !== undefined).map(named);
    return ok({ ...named({ id, name }), timezone, units, guns, air: plant.air.map(named), powders });
  },
});
