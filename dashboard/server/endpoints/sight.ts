import { z } from 'zod';
import { PartSight } from '../../../analyzer/index.ts';
import { endpoint, ok } from '../endpoint.ts';
import { noGun } from './upkeep-jobs.ts';

const Answer = z
  .strictObject({
    gun: z.string(),
    asOf: z.number().nullable().meta({ description: 'Reading time at which this holds, epoch ms; null before a run' }),
    wornDoubt: z
      .string()
      .nullable()
      .meta({ description: 'Why its baseline may hold wear as if it were normal; null where nothing speaks for it' }),
    parts: z.array(PartSight),
  })
  .meta({ id: 'GunSight' });
export type GunSight = z.infer<typeof Answer>;

export const sight = endpoint({
  method: 'get',
  path: '/api/guns/:id/sight',
  role: 'wall',
  summary:
    'What the channels fitted on a gun let be seen: for each part the smallest change and the spray hours to see it',
  params: z.strictObject({ id: z.string().max(40) }),
  success: { 200: 'One entry a part, in the order of the contract; none before the gun was analysed' },
  answer: Answer,
  problems: ['NOT_FOUND'],
  handle({ sources }, { params: { id } }) {
    if (!sources.plant.guns.some((gun) => gun.id === id)) noGun(id);
    const view = sources.views().find((one) => one.id === id);
    return ok({ gun: id, asOf: view?.asOf ?? null, wornDoubt: view?.wornDoubt ?? null, parts: view?.sight ?? [] });
  },
});
