import { z } from 'zod';
import { GunView } from '../../../analyzer/index.ts';
import { endpoint, ok } from '../endpoint.ts';

export const views = endpoint({
  method: 'get',
  path: '/api/views',
  summary: 'Wear, air and remaining life of every gun that has been analysed',
  role: 'wall',
  success: { 200: 'Gun views; air in m3/h at 0 °C and 1013.25 hPa, times in epoch ms' },
  answer: z.array(GunView.meta({ id: 'GunView' })),
  problems: [],
  handle: ({ sources }) => ok([...sources.views()]),
});
