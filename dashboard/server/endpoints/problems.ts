import { z } from 'zod';
import { codes } from '../../../collector/contract/index.ts';
import { endpoint, ok } from '../endpoint.ts';

export const problems = endpoint({
  method: 'get',
  path: '/api/problems',
  summary: 'Every fault that an answer may name in its code and type',
  role: 'anyone',
  success: { 200: 'Faults' },
  answer: z.array(z.strictObject({ code: z.string(), title: z.string(), status: z.number().int() })),
  problems: [],
  handle: () => ok(Object.entries(codes).map(([code, { http, title }]) => ({ code, title, status: http }))),
});
