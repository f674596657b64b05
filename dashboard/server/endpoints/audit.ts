import { z } from 'zod';
import { deskOf } from '../access/desk-of.ts';
import { endpoint, ok } from '../endpoint.ts';

const Query = z.strictObject({
  limit: z.coerce.number().int().min(1).max(1000).default(100),
  before: z.coerce.number().int().min(1).optional().meta({ description: 'Only entries with a lower id' }),
  who: z.string().min(1).max(100).optional().meta({ description: 'Only what this person or program changed' }),
});

export const AuditShown = z
  .strictObject({
    id: z.number().int(),
    at: z.iso.datetime(),
    who: z.string(),
    what: z.string(),
    detail: z.string(),
    origin: z.string().meta({ description: 'Where from: an address, or "command line"' }),
  })
  .meta({ id: 'AuditEntry' });
export type AuditShown = z.infer<typeof AuditShown>;

export const audit = endpoint({
  method: 'get',
  path: '/api/audit',
  summary: 'Who changed what, newest first; entries are never changed or taken away',
  role: 'administrator',
  query: Query,
  success: { 200: 'Entries' },
  answer: z.array(AuditShown),
  problems: ['QUERY_INVALID', 'NOT_FOUND'],
  handle(call, { query: { limit, before, who } }) {
    const filter = {
      limit,
      ...(before === undefined ? {} : { beforeId: before }),
      ...(who === undefined ? {} : { who }),
    };
    const entries = deskOf(call).source.store.audit.list(filter);
    return ok(entries.map((entry) => ({ ...entry, at: new Date(entry.at).toISOString() })));
  },
});
