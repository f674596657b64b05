import { z } from 'zod';
import { PART_IDS } from '../../../collector/contract/index.ts';
import { endpoint, ok } from '../endpoint.ts';
import { LifeAnswer } from '../shop/life-model.ts';
import { shopOf } from '../shop/shop-of.ts';

export const life = endpoint({
  method: 'get',
  path: '/api/life',
  role: 'wall',
  summary:
    'Life statistics of the parts: Weibull with right censoring, B10, limits, points and curve, best age of a change',
  query: z.strictObject({
    part: z.enum(PART_IDS).optional(),
    by: z.enum(['all', 'family', 'gun']).default('all'),
    measure: z.enum(['sprayHours', 'kilograms']).default('sprayHours'),
  }),
  success: { 200: 'One group a part and powder family or gun; times in spray hours or kilograms' },
  answer: LifeAnswer,
  problems: ['QUERY_INVALID', 'NOT_FOUND'],
  handle: ({ sources }, { query: { part, by, measure } }) =>
    ok(shopOf(sources).lives({ part: part ?? null, by, measure })),
});
