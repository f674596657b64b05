import { z } from 'zod';
import { JOB_STATES, LoopJob } from '../../../analyzer/index.ts';
import { AppError, parseTime } from '../../../collector/contract/index.ts';
import { endpoint, ok } from '../endpoint.ts';
import { AlertLoadShown } from '../upkeep/upkeep-model.ts';
import type { Deed } from '../upkeep/upkeep-source.ts';

const Query = z.strictObject({
  gun: z.string().max(40).optional(),
  state: z
    .enum([...JOB_STATES, 'to-do', 'ended', 'all'])
    .default('to-do')
    .meta({ description: 'to-do: open, planned and done but not proven; ended: proven or gone by itself' }),
  limit: z.coerce.number().int().min(1).max(10_000).default(1000),
});

export const jobs = endpoint({
  method: 'get',
  path: '/api/jobs',
  role: 'wall',
  summary: 'Jobs of findings and of the plan, most pressing first; those that ended newest first',
  query: Query,
  success: { 200: 'Jobs; times in epoch ms' },
  answer: z.array(LoopJob),
  problems: ['QUERY_INVALID'],
  handle({ sources }, { query: { gun, state, limit } }) {
    const ended = (one: LoopJob): boolean => one.state === 'proven' || one.state === 'gone';
    const wanted = (one: LoopJob): boolean =>
      state === 'all' || (state === 'to-do' ? !ended(one) : state === 'ended' ? ended(one) : one.state === state);
    const all = sources.upkeep.loop().jobs.filter((one) => (gun === undefined || one.gun === gun) && wanted(one));
    return ok([...all.slice(0, limit)]);
  },
});

const Time = z
  .string()
  .max(40)
  .refine((text) => Number.isFinite(parseTime(text)), 'expected ISO 8601 with offset or Unix seconds');
const version = z.number().int().min(0).meta({ description: 'The version of the job that the writer has seen' });
const Note = z.string().max(500).default('');

const DeedBody = z
  .discriminatedUnion('deed', [
    z.strictObject({ deed: z.literal('acknowledge'), version }),
    z.strictObject({ deed: z.literal('plan'), version, for: Time, note: Note }),
    z.strictObject({ deed: z.literal('unplan'), version }),
    z.strictObject({
      deed: z.literal('shelve'),
      version,
      until: Time,
      reason: z.string().trim().min(1, 'expected a reason').max(300),
    }),
    z.strictObject({ deed: z.literal('unshelve'), version }),
    z.strictObject({ deed: z.literal('done'), version, note: Note }),
    z.strictObject({ deed: z.literal('undo'), version }),
  ])
  .meta({ id: 'JobDeed' });

export const actOnJob = endpoint({
  method: 'post',
  path: '/api/jobs/:id/deeds',
  role: 'fitter',
  summary:
    'Acknowledges, plans, shelves (with an end and a reason) a job, says that it is done where no part is changed, or undoes the last of these',
  params: z.strictObject({ id: z.string().max(120) }),
  body: DeedBody,
  success: { 200: 'The job as it is now' },
  answer: LoopJob,
  problems: ['NOT_FOUND', 'EDITED_MEANWHILE'],
  handle({ sources, who }, { params: { id }, body }) {
    return ok(sources.upkeep.act(id, deedOf(body), { who, seen: body.version }));
  },
});

function deedOf(body: z.infer<typeof DeedBody>): Deed {
  switch (body.deed) {
    case 'plan':
      return { deed: 'plan', for: parseTime(body.for), note: body.note };
    case 'shelve':
      return { deed: 'shelve', until: parseTime(body.until), reason: body.reason };
    case 'done':
      return { deed: 'done', note: body.note };
    default:
      return { deed: body.deed };
  }
}

export const alertLoad = endpoint({
  method: 'get',
  path: '/api/alerts/load',
  role: 'wall',
  summary: 'How many alerts a gun and week asks people for, and which of them are stale or chatter',
  query: z.strictObject({ weeks: z.coerce.number().int().min(1).max(104).default(8) }),
  success: { 200: 'Load; times in epoch ms' },
  answer: AlertLoadShown,
  problems: ['QUERY_INVALID'],
  handle({ sources }, { query: { weeks } }) {
    const load = sources.upkeep.load(weeks);
    return ok({
      ...load,
      weeks: load.weeks.map((week) => ({ ...week, perGun: { ...week.perGun } })),
      stale: [...load.stale],
      chattering: load.chattering.map((one) => ({ ...one })),
    });
  },
});

/** @throws {AppError} NOT_FOUND */
export function noGun(gun: string): never {
  throw new AppError('NOT_FOUND', `no gun "${gun}" in the plant file`);
}
