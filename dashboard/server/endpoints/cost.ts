import { z } from 'zod';
import { CostFigures, Losses } from '../../../analyzer/index.ts';
import { savedAs } from '../csv-text.ts';
import { type Call, endpoint, ok } from '../endpoint.ts';
import { RequestFault } from '../problem.ts';
import { CostAnswer, MONTH, StatedCosts, StatedLosses } from '../shop/cost-model.ts';
import { costCsv } from '../shop/csv-tables.ts';
import { monthBefore, presentMonths } from '../shop/present-months.ts';
import { shopOf } from '../shop/shop-of.ts';

const Month = z.string().regex(MONTH, 'expected a month, YYYY-MM');
const Months = z.strictObject({
  from: Month.optional().meta({ description: 'First month; default three before `to`' }),
  to: Month.optional().meta({ description: 'Last month; default the present one' }),
});
/** Source: own choice, because a reader compares with last year at most. */
const MOST_MONTHS = 24;

/** First and last month asked for; by default this month and the three before it. */
function monthsOf({ sources, clock }: Call, asked: z.infer<typeof Months>): { from: string; to: string } {
  const { from, to } = presentMonths(sources.plant, clock.now(), asked);
  const fault = (detail: string): RequestFault =>
    new RequestFault('QUERY_INVALID', `from: ${detail}`, [{ parameter: 'from', detail }]);
  if (from > to) throw fault(`${from} is after ${to}`);
  if (monthBefore(to, MOST_MONTHS - 1) > from) throw fault(`expected at most ${MOST_MONTHS} months`);
  return { from, to };
}

export const cost = endpoint({
  method: 'get',
  path: '/api/cost',
  role: 'wall',
  summary: 'Cost of wear by gun and month: excess air, changes too early and too late, powder and rejects',
  query: Months,
  success: { 200: 'Rows by month and gun, and their sums; money in the shop’s own currency' },
  answer: CostAnswer,
  problems: ['QUERY_INVALID', 'NOT_FOUND'],
  handle: async (call, { query }) => ok(await shopOf(call.sources).costs(monthsOf(call, query))),
});

export const costList = endpoint({
  method: 'get',
  path: '/api/cost.csv',
  role: 'wall',
  summary: 'The same as CSV',
  query: Months,
  success: { 200: 'RFC 4180, one line a month and gun' },
  media: 'text/csv',
  answer: z.string(),
  problems: ['QUERY_INVALID', 'NOT_FOUND'],
  async handle(call, { query }) {
    const told = await shopOf(call.sources).costs(monthsOf(call, query));
    return { status: 200, body: costCsv(told), headers: savedAs(`cost-${told.from}-${told.to}.csv`) };
  },
});

export const costFigures = endpoint({
  method: 'get',
  path: '/api/cost/figures',
  role: 'wall',
  summary: 'The shop’s own figures: currency, energy, powder, rejects, changes',
  success: { 200: 'The version in force; 0 while nothing was stated' },
  answer: StatedCosts,
  problems: ['NOT_FOUND'],
  handle: ({ sources }) => ok(shopOf(sources).costFigures()),
});

export const stateCostFigures = endpoint({
  method: 'put',
  path: '/api/cost/figures',
  role: 'engineer',
  summary: 'States the next version of the shop’s figures',
  body: z.strictObject({ version: z.number().int().min(0), figures: CostFigures }).meta({ id: 'CostFiguresBody' }),
  success: { 200: 'The version in force now' },
  answer: StatedCosts,
  problems: ['EDITED_MEANWHILE', 'NOT_FOUND'],
  handle: ({ sources, who }, { body }) => ok(shopOf(sources).stateCosts(body.figures, { who, seen: body.version })),
});

export const losses = endpoint({
  method: 'get',
  path: '/api/cost/losses',
  role: 'wall',
  summary: 'Powder and rejects that the shop puts down to guns, by month',
  success: { 200: 'One line a month and gun that was stated' },
  answer: z.array(StatedLosses),
  problems: ['NOT_FOUND'],
  handle: ({ sources }) => ok([...shopOf(sources).losses()]),
});

export const stateLosses = endpoint({
  method: 'put',
  path: '/api/cost/losses/:month/:gun',
  role: 'fitter',
  summary: 'States powder and rejects of a gun in a month',
  params: z.strictObject({ month: Month, gun: z.string().max(40) }),
  body: z.strictObject({ version: z.number().int().min(0), losses: Losses }).meta({ id: 'LossesBody' }),
  success: { 200: 'What is stated now' },
  answer: StatedLosses,
  problems: ['EDITED_MEANWHILE', 'NOT_FOUND'],
  handle: ({ sources, who }, { params: { month, gun }, body }) =>
    ok(shopOf(sources).stateLosses(month, gun, body.losses, { who, seen: body.version })),
});
