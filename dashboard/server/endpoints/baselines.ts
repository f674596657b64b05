import { z } from 'zod';
import type { BaselineAnswer } from '../../../analyzer/index.ts';
import { AppError } from '../../../collector/contract/index.ts';
import type { StoredRelearning } from '../../../collector/index.ts';
import { baselineCsv } from '../baseline-csv.ts';
import type { BaselineSource } from '../baseline-source.ts';
import { type Endpoint, endpoint, ok } from '../endpoint.ts';
import type { DashboardSources } from '../sources.ts';

/** @throws {AppError} NOT_FOUND where none are kept */
export function baselinesOf({ baselines }: DashboardSources): BaselineSource {
  if (baselines === undefined) throw new AppError('NOT_FOUND', 'no words on baselines are kept here');
  return baselines;
}

const Params = z.strictObject({ id: z.string().max(40) });
const Need = z.strictObject({ output: z.number(), air: z.number(), low: z.number(), high: z.number() });
const Answer = z
  .strictObject({
    gun: z.string(),
    asOf: z.number().nullable(),
    from: z.number().nullable().meta({ description: 'When the baseline began, epoch ms' }),
    learntAnew: z.boolean(),
    lacking: z.enum(['no-runs', 'no-output', 'learning']).nullable(),
    powders: z.array(
      z.strictObject({
        ...{ powder: z.string(), inUse: z.boolean(), runs: z.number(), runsNeeded: z.number() },
        ...{ usual: Need, atGunsUsual: Need, curve: z.array(Need) },
        beside: z
          .number()
          .meta({ description: 'Need at the gun’s usual output over that with the powder in use, less 1' }),
      }),
    ),
    besideSite: z.strictObject({ share: z.number(), low: z.number(), high: z.number() }).nullable(),
    borrowed: z.strictObject({ level: z.number(), slope: z.number(), from: z.array(z.string()) }).nullable(),
    insertSince: z.number().nullable(),
    points: z.array(
      z.strictObject({
        ...{ from: z.number(), to: z.number(), powder: z.string(), air: z.number(), output: z.number() },
        ...{ runs: z.number(), minutes: z.number(), kind: z.enum(['taught', 'later', 'left-out']), why: z.string() },
      }),
    ),
    counted: z.strictObject({ taught: z.number(), later: z.number(), leftOut: z.number() }),
    doubt: z
      .strictObject({ kind: z.enum(['unknown-start', 'midway', 'worn-when-new']), sentence: z.string() })
      .nullable(),
  })
  .meta({ id: 'GunBaseline' });

async function answerOf(sources: DashboardSources, gun: string): Promise<BaselineAnswer> {
  if (!sources.plant.guns.some(({ id }) => id === gun)) throw new AppError('NOT_FOUND', `there is no gun ${gun}`);
  if (sources.histories === undefined) throw new AppError('NOT_FOUND', 'no history is kept here');
  return sources.histories.baseline(gun);
}

const baseline = endpoint({
  method: 'get',
  path: '/api/guns/:id/baseline',
  summary: 'The pump curve of a gun by powder with its 80 % band, and the runs that taught it; air m3/h, output g/min',
  role: 'fitter',
  params: Params,
  success: { 200: 'The baseline as the analysis believes it' },
  answer: Answer,
  problems: ['NOT_FOUND', 'STORE_UNUSABLE', 'NOT_READY'],
  handle: async ({ sources }, { params: { id } }) =>
    ok((await answerOf(sources, id)) as unknown as z.infer<typeof Answer>),
});

const baselineAsCsv = endpoint({
  method: 'get',
  path: '/api/guns/:id/baseline.csv',
  summary: 'The same as CSV',
  role: 'fitter',
  params: Params,
  success: { 200: 'Curves, then points' },
  answer: z.string(),
  media: 'text/csv',
  problems: ['NOT_FOUND', 'STORE_UNUSABLE', 'NOT_READY'],
  handle: async ({ sources }, { params: { id } }) => ({
    ...ok(baselineCsv(await answerOf(sources, id), sources.plant)),
    headers: { 'Content-Disposition': `attachment; filename="${id}-baseline.csv"` },
  }),
});

const Time = z.iso.datetime({ offset: true });
const Relearning = z
  .strictObject({
    id: z.number().int(),
    gun: z.string(),
    from: z.iso.datetime().meta({ description: 'From when on runs teach the baseline' }),
    decided: z.iso.datetime().meta({ description: 'Reading time from which findings follow it' }),
    reason: z.string(),
    at: z.iso.datetime(),
    who: z.string(),
    undoneAt: z.iso.datetime().nullable(),
    undoneBy: z.string().nullable(),
  })
  .meta({ id: 'Relearning' });
export type Relearning = z.infer<typeof Relearning>;

const iso = (time: number): string => new Date(time).toISOString();
const shown = ({ id, gun, from, decided, reason, at, who, undoneAt, undoneBy }: StoredRelearning): Relearning => ({
  ...{ id, gun, reason, who, undoneBy, from: iso(from), decided: iso(decided), at: iso(at) },
  undoneAt: undoneAt === null ? null : iso(undoneAt),
});

const relearnings = endpoint({
  method: 'get',
  path: '/api/relearnings',
  summary: 'Baselines that are learnt anew from a date, those that were undone too',
  role: 'wall',
  query: z.strictObject({ gun: z.string().max(40).optional() }),
  success: { 200: 'Ascending by number; of one gun the newest that was not undone holds' },
  answer: z.array(Relearning),
  problems: [],
  handle: ({ sources }, { query: { gun } }) =>
    ok((sources.baselines?.relearnings() ?? []).filter((one) => gun === undefined || one.gun === gun).map(shown)),
});

const relearn = endpoint({
  method: 'post',
  path: '/api/relearnings',
  summary: 'Has a gun’s baseline learnt anew from a date on, as if it were commissioned then; what was raised stays',
  role: 'engineer',
  body: z
    .strictObject({ gun: z.string().max(40), from: Time, reason: z.string().trim().min(1).max(500) })
    .meta({ id: 'RelearningBody' }),
  success: { 201: 'Written down; the analysis follows at once' },
  answer: Relearning,
  problems: ['NOT_FOUND'],
  handle: ({ sources, who }, { body: { gun, from, reason } }) => ({
    status: 201,
    body: shown(baselinesOf(sources).relearn({ gun, from: Date.parse(from), reason }, who)),
  }),
});

const undoRelearning = endpoint({
  method: 'delete',
  path: '/api/relearnings/:id',
  summary: 'Takes it back: the baseline of before holds again from now on',
  role: 'engineer',
  params: z.strictObject({ id: z.coerce.number().int().min(1) }),
  success: { 200: 'Taken back; it stays on record' },
  answer: z.strictObject({ id: z.number().int() }),
  problems: ['NOT_FOUND'],
  handle({ sources, who }, { params: { id } }) {
    baselinesOf(sources).undoRelearning(id, who);
    return ok({ id });
  },
});

export const BASELINE_ENDPOINTS: readonly Endpoint[] = [baseline, baselineAsCsv, relearnings, relearn, undoRelearning];
