import { z } from 'zod';
import { Finding } from '../../../collector/contract/index.ts';
import { endpoint, ok } from '../endpoint.ts';

const Query = z.strictObject({
  open: z.enum(['true', 'false']).optional().meta({ description: 'true: only findings that are not cleared' }),
  limit: z.coerce.number().int().min(1).max(10_000).default(1000),
  before: z.iso.datetime({ offset: true }).optional().meta({ description: 'Only findings raised before this time' }),
});

export const findings = endpoint({
  method: 'get',
  path: '/api/findings',
  summary: 'Findings, newest first',
  role: 'wall',
  query: Query,
  success: { 200: 'Findings' },
  answer: z.array(Finding),
  problems: ['QUERY_INVALID'],
  async handle({ sources }, { query: { open, limit, before } }) {
    const beforeMs = before === undefined ? null : Date.parse(before);
    return ok([...(await sources.findings({ open: open === 'true', limit, beforeMs }))]);
  },
});
