import { z } from 'zod';
import { AppError, JUDGED } from '../../../collector/contract/index.ts';
import type { StoredExclusion, StoredJudgement } from '../../../collector/index.ts';
import { endpoint, ok } from '../endpoint.ts';
import { tuningOf } from './settings.ts';

const Time = z.iso.datetime({ offset: true });

const Judgement = z
  .strictObject({
    gun: z.string().nullable(),
    cause: z.string(),
    raised: z.iso.datetime(),
    judged: z.enum(JUDGED).nullable(),
    reason: z.string(),
    at: z.iso.datetime(),
    who: z.string(),
  })
  .meta({ id: 'Judgement' });

const judgement = ({ gun, cause, raised, judged, reason, at, who }: StoredJudgement): z.infer<typeof Judgement> => ({
  ...{ gun, cause, judged, reason, who },
  raised: new Date(raised).toISOString(),
  at: new Date(at).toISOString(),
});

export const judgements = endpoint({
  method: 'get',
  path: '/api/judgements',
  summary: 'What people said of findings afterwards: the newest word on each',
  role: 'wall',
  success: { 200: 'Judgements' },
  answer: z.array(Judgement),
  problems: ['NOT_FOUND'],
  handle: ({ sources }) => ok(tuningOf(sources).judgements().map(judgement)),
});

export const judgeFinding = endpoint({
  method: 'post',
  path: '/api/judgements',
  summary: 'Says whether a finding was right; null takes the word back',
  role: 'fitter',
  body: z
    .strictObject({
      gun: z.string().max(40).nullable(),
      cause: z.string().min(1).max(80),
      raised: Time,
      judged: z.enum(JUDGED).nullable(),
      reason: z.string().trim().max(500).default(''),
    })
    .meta({ id: 'JudgementBody' }),
  success: { 201: 'Written down' },
  answer: Judgement,
  problems: ['NOT_FOUND'],
  handle: ({ sources, who }, { body }) => ({
    status: 201,
    body: judgement(tuningOf(sources).judge({ ...body, raised: Date.parse(body.raised) }, who)),
  }),
});

const Exclusion = z
  .strictObject({
    id: z.number().int(),
    gun: z.string(),
    from: z.iso.datetime(),
    to: z.iso.datetime(),
    reason: z.string(),
    at: z.iso.datetime(),
    who: z.string(),
    undoneAt: z.iso.datetime().nullable(),
    undoneBy: z.string().nullable(),
  })
  .meta({ id: 'Exclusion' });

const exclusion = ({ from, to, at, undoneAt, ...rest }: StoredExclusion): z.infer<typeof Exclusion> => ({
  ...rest,
  from: new Date(from).toISOString(),
  to: new Date(to).toISOString(),
  at: new Date(at).toISOString(),
  undoneAt: undoneAt === null ? null : new Date(undoneAt).toISOString(),
});

export const exclusions = endpoint({
  method: 'get',
  path: '/api/exclusions',
  summary: 'Spans of a gun whose runs are neither learnt from nor judged, those that were undone too',
  role: 'fitter',
  success: { 200: 'Exclusions' },
  answer: z.array(Exclusion),
  problems: ['NOT_FOUND'],
  handle: ({ sources }) => ok(tuningOf(sources).exclusions().map(exclusion)),
});

export const excludeRuns = endpoint({
  method: 'post',
  path: '/api/exclusions',
  summary: 'Leaves the runs of a span out; the analysis follows at once',
  role: 'engineer',
  body: z
    .strictObject({
      gun: z.string().max(40),
      from: Time,
      to: Time,
      reason: z.string().trim().min(1).max(500),
    })
    .refine(({ from, to }) => Date.parse(from) < Date.parse(to), {
      path: ['to'],
      message: 'expected a time after "from"',
    })
    .meta({ id: 'ExclusionBody' }),
  success: { 201: 'Left out' },
  answer: Exclusion,
  problems: ['NOT_FOUND'],
  handle({ sources, who }, { body: { gun, from, to, reason } }) {
    if (!sources.plant.guns.some(({ id }) => id === gun))
      throw new AppError('BODY_INVALID', `#/gun: found ${JSON.stringify(gun)}, expected a gun of the plant`);
    const span = { gun, from: Date.parse(from), to: Date.parse(to), reason };
    return { status: 201, body: exclusion(tuningOf(sources).exclude(span, who)) };
  },
});

export const undoExclusion = endpoint({
  method: 'delete',
  path: '/api/exclusions/:id',
  summary: 'Takes runs in again that were left out',
  role: 'engineer',
  params: z.strictObject({ id: z.coerce.number().int().min(1) }),
  success: { 200: 'Taken in again' },
  answer: z.strictObject({ id: z.number().int() }),
  problems: ['NOT_FOUND'],
  handle({ sources, who }, { params: { id } }) {
    tuningOf(sources).undoExclusion(id, who);
    return ok({ id });
  },
});
