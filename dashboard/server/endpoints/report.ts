import { z } from 'zod';
import { parseTime } from '../../../collector/contract/index.ts';
import { savedAs } from '../csv-text.ts';
import { endpoint, ok } from '../endpoint.ts';
import { reportCsv } from '../shop/csv-tables.ts';
import { Report } from '../shop/journal-model.ts';
import { shopOf } from '../shop/shop-of.ts';

const Query = z.strictObject({
  kind: z.enum(['shift', 'week']).default('shift'),
  at: z
    .string()
    .max(40)
    .refine((text) => Number.isFinite(parseTime(text)), 'expected ISO 8601 with offset or Unix seconds')
    .optional()
    .meta({ description: 'A time within the shift or week; default now' }),
});

export const report = endpoint({
  method: 'get',
  path: '/api/report',
  role: 'wall',
  summary: 'Shift hand-over, or the week: guns, open jobs, what came and went, what was done, what to order',
  query: Query,
  success: { 200: 'The report' },
  answer: Report,
  problems: ['QUERY_INVALID', 'NOT_FOUND'],
  handle: ({ sources, clock }, { query: { kind, at } }) =>
    ok(shopOf(sources).report(kind, at === undefined ? clock.now() : parseTime(at))),
});

export const reportList = endpoint({
  method: 'get',
  path: '/api/report.csv',
  role: 'wall',
  summary: 'The same as CSV, one line a fact',
  query: Query,
  success: { 200: 'RFC 4180; `section` says what the line is of' },
  media: 'text/csv',
  answer: z.string(),
  problems: ['QUERY_INVALID', 'NOT_FOUND'],
  handle({ sources, clock }, { query: { kind, at } }) {
    const told = shopOf(sources).report(kind, at === undefined ? clock.now() : parseTime(at));
    return {
      status: 200,
      body: reportCsv(told),
      headers: savedAs(`${kind}-${told.from.slice(0, 10)}.csv`),
    };
  },
});
