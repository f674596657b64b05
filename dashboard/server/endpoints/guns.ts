import { z } from 'zod';
import { GunCondition } from '../../../collector/contract/index.ts';
import { ageSeconds } from '../age.ts';
import { endpoint, ok } from '../endpoint.ts';

export const guns = endpoint({
  method: 'get',
  path: '/api/guns',
  summary: 'Condition of every gun, in the order of the plant file',
  role: 'wall',
  success: { 200: 'Gun conditions' },
  answer: z.array(GunCondition),
  problems: [],
  handle({ sources, clock }) {
    const now = clock.now();
    return ok(
      sources.conditions().map((condition) => {
        const latest = sources.latest(condition.id);
        return latest ? { ...condition, ageSeconds: ageSeconds(latest.time, now) } : condition;
      }),
    );
  },
});
