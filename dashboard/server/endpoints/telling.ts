import { z } from 'zod';
import { AppError } from '../../../collector/contract/index.ts';
import { endpoint, ok } from '../endpoint.ts';
import { TellingAnswer, type TellingSource } from '../shop/telling-model.ts';
import type { DashboardSources } from '../sources.ts';

function tellingOf({ telling }: DashboardSources): TellingSource {
  if (!telling) throw new AppError('NOT_FOUND', 'nobody is told anything here');
  return telling;
}

export const telling = endpoint({
  method: 'get',
  path: '/api/telling',
  role: 'engineer',
  summary: 'Mail and webhooks: what waits, what went out, what was given up and why',
  query: z.strictObject({ limit: z.coerce.number().int().min(1).max(1000).default(50) }),
  success: { 200: 'The outbox, newest first' },
  answer: TellingAnswer,
  problems: ['QUERY_INVALID', 'NOT_FOUND'],
  handle: ({ sources }, { query: { limit } }) => ok(tellingOf(sources).state(limit)),
});

export const testTelling = endpoint({
  method: 'post',
  path: '/api/telling/test',
  role: 'administrator',
  summary: 'Sends a test message to every target',
  success: { 200: 'The targets; /api/telling tells what became of it' },
  answer: z.strictObject({ targets: z.array(z.string()) }).meta({ id: 'TellingTest' }),
  problems: ['NOT_FOUND'],
  handle: ({ sources, who }) => ok({ targets: [...tellingOf(sources).test(who)] }),
});
