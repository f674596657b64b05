import { z } from 'zod';
import { LogEntryBody, parseTime } from '../../../collector/contract/index.ts';
import { savedAs } from '../csv-text.ts';
import { endpoint, ok } from '../endpoint.ts';
import { IDEMPOTENCY, keyOf } from '../idempotency.ts';
import { logEntryFrom } from '../log-entry-from.ts';
import { RequestFault } from '../problem.ts';
import { journalCsv } from '../shop/csv-tables.ts';
import { JournalLine } from '../shop/journal-model.ts';
import { shopOf } from '../shop/shop-of.ts';

const Time = z
  .string()
  .max(40)
  .refine((text) => Number.isFinite(parseTime(text)), 'expected ISO 8601 with offset or Unix seconds');
const Span = z.strictObject({
  from: Time.optional(),
  to: Time.optional(),
  limit: z.coerce.number().int().min(1).max(50_000).default(500),
});

function spanOf({ from, to, limit }: z.infer<typeof Span>): { from: number; to: number; limit: number } {
  const span = {
    from: from === undefined ? Number.NEGATIVE_INFINITY : parseTime(from),
    to: to === undefined ? Number.POSITIVE_INFINITY : parseTime(to),
    limit,
  };
  if (span.from >= span.to)
    throw new RequestFault('QUERY_INVALID', 'from: not before to', [{ parameter: 'from', detail: 'not before `to`' }]);
  return span;
}

export const journal = endpoint({
  method: 'get',
  path: '/api/journal',
  role: 'wall',
  summary: 'All that was done and shown, with who and when, newest first; what was taken back stays and says so',
  query: Span,
  success: { 200: 'Lines' },
  answer: z.array(JournalLine),
  problems: ['QUERY_INVALID', 'NOT_FOUND'],
  handle: ({ sources }, { query }) => ok([...shopOf(sources).journal(spanOf(query))]),
});

export const journalList = endpoint({
  method: 'get',
  path: '/api/journal.csv',
  role: 'wall',
  summary: 'The same as CSV',
  query: Span,
  success: { 200: 'RFC 4180, one line a thing' },
  media: 'text/csv',
  answer: z.string(),
  problems: ['QUERY_INVALID', 'NOT_FOUND'],
  handle({ sources, clock }, { query }) {
    const date = new Date(clock.now()).toISOString().slice(0, 10);
    return {
      status: 200,
      body: journalCsv(shopOf(sources).journal(spanOf(query))),
      headers: savedAs(`journal-${date}.csv`),
    };
  },
});

export const correctLog = endpoint({
  method: 'post',
  path: '/api/log/:id/correct',
  role: 'fitter',
  summary:
    'Takes a log entry back (undo), and puts another in its place where one is given; the original stays on record',
  params: z.strictObject({ id: z.coerce.number().int().positive() }),
  headers: IDEMPOTENCY,
  body: z
    .strictObject({
      why: z.string().trim().max(500).default(''),
      replacement: LogEntryBody.nullable().default(null),
    })
    .meta({ id: 'LogCorrectionBody' }),
  success: { 200: 'Taken back' },
  answer: z
    .strictObject({ entry: z.number().int(), replacement: z.number().int().nullable() })
    .meta({ id: 'LogCorrected' }),
  problems: ['NOT_FOUND', 'EDITED_MEANWHILE'],
  handle({ sources, who, clock }, { params: { id }, body: { why, replacement }, header }) {
    const entry = replacement === null ? null : logEntryFrom(replacement, sources.plant, clock.now());
    return ok(shopOf(sources).correct(id, { who, why, replacement: entry, key: keyOf(header) }));
  },
});
