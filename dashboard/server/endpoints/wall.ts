import { buildWall } from '../build-wall.ts';
import { endpoint, ok } from '../endpoint.ts';
import { Wall } from '../wall-model.ts';

export const wall = endpoint({
  method: 'get',
  path: '/api/wall',
  summary: 'Everything the wall shows, as its events carry it',
  role: 'wall',
  success: { 200: 'The wall' },
  answer: Wall,
  problems: [],
  handle: (context) => ok(buildWall(context, context.clock.now())),
});
