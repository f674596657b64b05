import { z } from 'zod';
import { HISTORY_SERIES, type HistoryAnswer, historyCsv } from '../../../analyzer/index.ts';
import { historyAskedBy } from '../../../collector/contract/history-look.ts';
import { AppError, Finding } from '../../../collector/contract/index.ts';
import { DAMAGED_KINDS } from '../../../collector/index.ts';
import { type Context, type Endpoint, endpoint, ok } from '../endpoint.ts';
import { RequestFault } from '../problem.ts';
import { refuseLongSpan } from '../security/query-span.ts';
import type { DashboardSources } from '../sources.ts';

const NAMES = HISTORY_SERIES.map(({ name }) => name);
/** Most values of all series together. Source: a picture of a thousand pixels shows no more. */
const MOST_POINTS = 4000;
/** Longest span, ms: what a gun can have is shorter. Source: own choice, twenty years. */
const MOST_MS = 20 * 366 * 86_400_000;

const Params = z.strictObject({ id: z.string().max(40) });
const Query = z.strictObject({
  from: z.iso
    .datetime({ offset: true })
    .optional()
    .meta({ description: 'Default: the first reading or spray run that is kept' }),
  to: z.iso.datetime({ offset: true }).optional().meta({
    description:
      'Exclusive; default: now, or shortly after the newest reading or run where that is more than a day old',
  }),
  series: z
    .string()
    .max(400)
    .optional()
    .meta({ description: `Names with commas between, of ${NAMES.join(', ')}; default all` }),
  points: z.coerce
    .number()
    .int()
    .min(10)
    .max(MOST_POINTS)
    .optional()
    .meta({ description: 'Most points of one series' }),
});

const RunSpan = z.strictObject({ from: z.number(), to: z.number() });
const Values = z.array(z.number().nullable());
const Answer = z
  .strictObject({
    gun: z.string(),
    from: z.number(),
    to: z.number(),
    level: z.enum(['readings', 'runs']),
    widthMs: z.number(),
    times: z.array(z.number()).meta({ description: 'Middle of each stretch, epoch ms' }),
    series: z.array(z.strictObject({ name: z.string(), unit: z.string(), low: Values, mid: Values, high: Values })),
    findings: z.array(Finding),
    log: z.array(z.unknown()),
    powders: z.array(z.strictObject({ powder: z.string(), from: z.number(), to: z.number() })),
    recipes: z.array(z.strictObject({ output: z.number(), from: z.number(), to: z.number() })),
    relearnings: z.array(z.strictObject({ from: z.number(), who: z.string(), reason: z.string() })),
    settings: z.array(z.strictObject({ version: z.number(), adopted: z.number(), who: z.string(), why: z.string() })),
    excluded: z.array(z.strictObject({ id: z.number(), from: z.number(), to: z.number(), reason: z.string() })),
    nearest: z
      .strictObject({ before: RunSpan.nullable(), after: RunSpan.nullable() })
      .nullable()
      .meta({ description: 'The runs on either side of a span in which there is nothing' }),
    damaged: z
      .array(z.strictObject({ kind: z.enum(DAMAGED_KINDS), from: z.number(), to: z.number(), why: z.string() }))
      .meta({ description: 'What of the span is damaged and missing' }),
    known: z.strictObject({ from: z.number(), to: z.number() }).nullable(),
  })
  .meta({ id: 'GunHistory' });

const DAY_MS = 86_400_000;
/** Share of a picture beyond the last run, so that it does not end at the edge. Source: own choice. */
const BEYOND = 0.02;

/** Where all there is ends: now, while a gun sprays; that of a gun that stopped a year ago would else be a sliver in an empty picture. */
function endOf(known: { readonly from: number; readonly to: number } | null, now: number): number {
  if (known === null || now - known.to <= DAY_MS) return now;
  return Math.min(now, Math.ceil(known.to + 1 + (known.to - known.from) * BEYOND));
}

/** The span that is asked for, its defaults filled in. @throws {AppError} NOT_FOUND, QUERY_INVALID, one with its parameter */
function spanOf(
  sources: DashboardSources,
  gun: string,
  query: z.infer<typeof Query>,
  now: number,
): { readonly from: number; readonly to: number } {
  if (!sources.plant.guns.some(({ id }) => id === gun)) throw new AppError('NOT_FOUND', `there is no gun ${gun}`);
  const known = sources.knownSpan?.(gun) ?? null;
  const to = query.to === undefined ? endOf(known, now) : Date.parse(query.to);
  const from = query.from === undefined ? (known?.from ?? to - DAY_MS) : Date.parse(query.from);
  if (to > from && to - from <= MOST_MS) return { from, to };
  // Of what was asked for: a span may have one end of its own.
  const parameter = query.to === undefined && query.from !== undefined ? 'from' : 'to';
  const [asked, other] = parameter === 'to' ? [to, from] : [from, to];
  const end = new Date(other).toISOString();
  const detail =
    to <= from
      ? `found ${new Date(asked).toISOString()}, expected a time ${parameter === 'to' ? 'after' : 'before'} ${end}, where the span ${parameter === 'to' ? 'begins' : 'ends'}`
      : `the span is of ${Math.round((to - from) / DAY_MS)} days, expected at most twenty years`;
  throw new RequestFault('QUERY_INVALID', `${parameter}: ${detail}`, [{ parameter, detail }]);
}

async function answerOf(
  sources: DashboardSources,
  gun: string,
  query: z.infer<typeof Query>,
  now: number,
): Promise<HistoryAnswer> {
  const span = spanOf(sources, gun, query, now);
  const series = query.series === undefined ? NAMES : query.series.split(',');
  const unknown = series.find((name) => !NAMES.includes(name));
  if (unknown !== undefined) {
    const detail = `found ${JSON.stringify(unknown)}, expected some of ${NAMES.join(', ')}`;
    throw new RequestFault('QUERY_INVALID', `series: ${detail}`, [{ parameter: 'series', detail }]);
  }
  const most = Math.floor(MOST_POINTS / series.length);
  return historiesOf(sources).history({ gun, ...span, series, points: Math.min(query.points ?? most, most) });
}

function historiesOf({ histories }: DashboardSources): NonNullable<DashboardSources['histories']> {
  if (histories === undefined) throw new AppError('NOT_FOUND', 'no history is kept here');
  return histories;
}

const PROBLEMS = ['QUERY_INVALID', 'NOT_FOUND', 'STORE_UNUSABLE', 'NOT_READY'] as const;

const history = endpoint({
  method: 'get',
  path: '/api/guns/:id/history',
  summary: 'The past of a gun in at most 4000 points, with findings, log, powders and settings of the span',
  role: 'fitter',
  params: Params,
  query: Query,
  success: { 200: 'The history' },
  answer: Answer,
  problems: [...PROBLEMS],
  handle: async ({ sources, clock, histories }, { params, query }) =>
    ok(
      (await histories.take(keyOf(params.id, query), () =>
        answerOf(sources, params.id, query, clock.now()),
      )) as unknown as z.infer<typeof Answer>,
    ),
});

const keyOf = (gun: string, query: z.infer<typeof Query>): string => JSON.stringify([gun, query]);

/**
 * Begins what the page of this address will ask for first, while the browser is still starting on it; nothing where it would be refused.
 *
 * @param search of the page's address
 */
export function beginHistory({ sources, clock, histories, maxQueryDays }: Context, search: string): void {
  const asked = historyAskedBy(search);
  if (asked === null) return;
  const params = Params.safeParse({ id: asked.gun });
  const query = Query.safeParse(asked.query);
  if (!params.success || !query.success || !sources.plant.guns.some(({ id }) => id === asked.gun)) return;
  histories.begin(keyOf(asked.gun, query.data), async () => {
    refuseLongSpan(query.data, maxQueryDays, clock.now());
    return answerOf(sources, asked.gun, query.data, clock.now());
  });
}

const historyAsCsv = endpoint({
  method: 'get',
  path: '/api/guns/:id/history.csv',
  summary: 'The numbers of such a picture as CSV, beside those of another gun where one is named',
  role: 'fitter',
  params: Params,
  query: Query.extend({
    beside: z.string().max(40).optional().meta({ description: 'A second gun, its columns behind the first one’s' }),
  }),
  success: { 200: 'A row a point' },
  answer: z.string(),
  media: 'text/csv',
  problems: [...PROBLEMS, 'READINGS_DAMAGED'],
  async handle({ sources, clock }, { params, query: { beside, ...query } }) {
    const now = clock.now();
    const answer = await answerOf(sources, params.id, query, now);
    // Over the same span, or the rows of the two would not stand on the same times.
    const span = { from: new Date(answer.from).toISOString(), to: new Date(answer.to).toISOString() };
    const other = beside === undefined ? null : await answerOf(sources, beside, { ...query, ...span }, now);
    // A column has no place for such a sentence.
    for (const { gun, level, damaged } of other === null ? [answer] : [answer, other]) {
      const missing = damaged.find(({ kind }) => (kind === 'spray runs') === (level === 'runs'));
      if (missing === undefined) continue;
      const { kind, from, to, why } = missing;
      const within = `from ${new Date(from).toISOString()} to ${new Date(to).toISOString()}`;
      throw new AppError('READINGS_DAMAGED', `${kind} of ${gun} ${within} are damaged (${why})`);
    }
    return {
      ...ok(historyCsv(answer, other)),
      headers: { 'Content-Disposition': `attachment; filename="${params.id}-history.csv"` },
    };
  },
});

const runsAsParquet = endpoint({
  method: 'get',
  path: '/api/guns/:id/runs.parquet',
  summary: 'All spray runs of a span as a Parquet file, a row a run',
  role: 'fitter',
  params: Params,
  query: Query.pick({ from: true, to: true }),
  success: { 200: 'A Parquet file' },
  answer: z.unknown().meta({ description: 'Bytes' }),
  media: 'application/vnd.apache.parquet',
  problems: [...PROBLEMS],
  async handle({ sources, clock }, { params, query }) {
    const { from, to } = spanOf(sources, params.id, query, clock.now());
    const bytes = await historiesOf(sources).parquet(params.id, from, to);
    return {
      ...ok(Buffer.from(bytes)),
      headers: { 'Content-Disposition': `attachment; filename="${params.id}-runs.parquet"` },
    };
  },
});

export const HISTORY_ENDPOINTS: readonly Endpoint[] = [history, historyAsCsv, runsAsParquet];
