import { z } from 'zod';
import { AppError } from '../../../collector/contract/index.ts';
import { endpoint, ok } from '../endpoint.ts';

const Query = z.strictObject({ limit: z.coerce.number().int().min(1).max(1000).default(100) });

const Refused = z
  .strictObject({
    id: z.string(),
    time: z.iso.datetime(),
    topic: z.string(),
    station: z.string().nullable(),
    reason: z.string(),
    detail: z.string(),
    payload: z.string().meta({ description: 'The message as text, as much of it as is kept' }),
    payloadBytes: z.number().int().meta({ description: 'Its whole length' }),
  })
  .meta({ id: 'Refused' });

export const quarantine = endpoint({
  method: 'get',
  path: '/api/quarantine',
  summary: 'Messages and records that were refused, newest first, with the reason',
  role: 'engineer',
  query: Query,
  success: { 200: 'What was refused' },
  answer: z.array(Refused),
  problems: ['QUERY_INVALID', 'NOT_FOUND'],
  async handle({ sources }, { query: { limit } }) {
    if (!sources.quarantine) throw new AppError('NOT_FOUND', 'no quarantine is kept here');
    const entries = await sources.quarantine({ limit });
    return ok(entries.map((entry) => ({ ...entry, time: new Date(entry.time).toISOString() })));
  },
});
