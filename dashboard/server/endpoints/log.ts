import { z } from 'zod';
import { ACTIONS, FOUND, LogEntryBody } from '../../../collector/contract/index.ts';
import { endpoint, ok } from '../endpoint.ts';
import { logEntryFrom } from '../log-entry-from.ts';
import { RequestFault } from '../problem.ts';
import type { RecordedEntry } from '../sources.ts';

export const Recorded = z
  .strictObject({
    id: z.string(),
    time: z.iso.datetime(),
    gun: z.string(),
    part: z.string(),
    action: z.enum(ACTIONS),
    found: z.enum(FOUND).nullable(),
    note: z.string(),
    measured: z.strictObject({ value: z.number(), unit: z.string() }).nullable(),
    who: z.string(),
    recordedAt: z.iso.datetime(),
  })
  .meta({ id: 'RecordedEntry' });
export type Recorded = z.infer<typeof Recorded>;

const shown = ({ time, recordedAt, ...entry }: RecordedEntry): Recorded => ({
  ...entry,
  measured: entry.measured ?? null,
  who: entry.who ?? '',
  time: new Date(time).toISOString(),
  recordedAt: new Date(recordedAt).toISOString(),
});

const Query = z.strictObject({
  gun: z.string().max(40).optional(),
  limit: z.coerce.number().int().min(1).max(10_000).default(100),
});

export const readLog = endpoint({
  method: 'get',
  path: '/api/log',
  summary: 'The maintenance log, newest first',
  role: 'wall',
  query: Query,
  success: { 200: 'Log entries' },
  answer: z.array(Recorded),
  problems: ['QUERY_INVALID'],
  async handle({ sources }, { query: { gun, limit } }) {
    return ok((await sources.log({ gun: gun ?? null, limit })).map(shown));
  },
});

const KEY = /^[\x21-\x7e]{1,200}$/;

export const addToLog = endpoint({
  method: 'post',
  path: '/api/log',
  summary: 'Writes down what was done to a gun; an entry is never changed, a correction is another entry',
  role: 'fitter',
  headers: z.object({
    'Idempotency-Key': z
      .string()
      .optional()
      .meta({ description: '1 to 200 visible ASCII characters; the same key again gets the first answer' }),
  }),
  body: LogEntryBody.meta({ id: 'LogEntryBody' }),
  success: { 201: 'Written down', 200: 'Written down before under the same Idempotency-Key' },
  answer: Recorded,
  problems: ['LOGGED_ALREADY', 'KEY_REUSED'],
  async handle({ sources, clock, answers, who, audited }, { body, header }) {
    const key = header('Idempotency-Key');
    if (key !== undefined && !KEY.test(key))
      throw new RequestFault('BODY_INVALID', 'Idempotency-Key: expected 1 to 200 visible ASCII characters', []);
    const write = async (): Promise<Recorded> =>
      shown(
        await audited(() =>
          sources.addLog(logEntryFrom(body, sources.plant, clock.now()), key, { who, again: body.again ?? false }),
        ),
      );
    if (key === undefined) return { status: 201, body: await write() };
    const { answer, repeated } = await answers.once(key, JSON.stringify(body), write);
    return { status: repeated ? 200 : 201, body: answer };
  },
});
