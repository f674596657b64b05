import { z } from 'zod';
import { AppError } from '../../../collector/contract/index.ts';
import { endpoint, ok } from '../endpoint.ts';

const Status = z.strictObject({ status: z.literal('ok') });

export const health = endpoint({
  method: 'get',
  path: '/healthz',
  summary: 'Answers as long as the process runs',
  role: 'anyone',
  success: { 200: 'It runs' },
  answer: Status,
  problems: [],
  handle: () => ok({ status: 'ok' as const }),
});

export const ready = endpoint({
  method: 'get',
  path: '/readyz',
  summary: 'Whether readings are taken and analysed',
  role: 'anyone',
  success: { 200: 'It takes readings' },
  answer: Status,
  problems: ['NOT_READY'],
  handle({ sources }) {
    const reason = sources.notReady();
    if (reason !== null) throw new AppError('NOT_READY', reason);
    return ok({ status: 'ok' as const });
  },
});
