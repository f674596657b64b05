import { z } from 'zod';
import { StockItem } from '../../../analyzer/index.ts';
import { PART_IDS } from '../../../collector/contract/index.ts';
import { savedAs } from '../csv-text.ts';
import { endpoint, ok } from '../endpoint.ts';
import { IDEMPOTENCY, keyOf } from '../idempotency.ts';
import { reorderCsv } from '../shop/csv-tables.ts';
import { shopOf } from '../shop/shop-of.ts';
import { PartShortage, StockLine, StockMoveBody, StockStep } from '../shop/stock-model.ts';

const Part = z.strictObject({ part: z.enum(PART_IDS) });

export const stock = endpoint({
  method: 'get',
  path: '/api/stock',
  role: 'wall',
  summary: 'Parts on the shelf, what they are needed for, and what to order',
  success: { 200: 'Parts, in the order of the contract' },
  answer: z.array(StockLine),
  problems: ['NOT_FOUND'],
  handle: ({ sources }) => ok([...shopOf(sources).stock()]),
});

export const stockShort = endpoint({
  method: 'get',
  path: '/api/stock/short',
  role: 'wall',
  summary: 'Parts that are not on the shelf for a change, where stock of them is kept',
  success: { 200: 'Parts; none where no stock is kept' },
  answer: z.array(PartShortage),
  problems: [],
  handle({ sources: { shop } }) {
    const found = PART_IDS.map((part) => ({ part, says: shop?.shortOf(part) ?? null }));
    return ok(found.flatMap(({ part, says }) => (says === null ? [] : [{ part, says }])));
  },
});

export const reorderList = endpoint({
  method: 'get',
  path: '/api/stock/reorder.csv',
  role: 'wall',
  summary: 'What to order, as CSV with the shop’s own order numbers and suppliers',
  success: { 200: 'RFC 4180, one line a part to order' },
  media: 'text/csv',
  answer: z.string(),
  problems: ['NOT_FOUND'],
  handle({ sources, clock }) {
    const date = new Date(clock.now()).toISOString().slice(0, 10);
    return { status: 200, body: reorderCsv(shopOf(sources).stock()), headers: savedAs(`reorder-${date}.csv`) };
  },
});

export const stockMoves = endpoint({
  method: 'get',
  path: '/api/stock/moves',
  role: 'wall',
  summary: 'The shelf’s ledger with the changes that took from it, newest first',
  query: z.strictObject({
    part: z.enum(PART_IDS).optional(),
    limit: z.coerce.number().int().min(1).max(10_000).default(100),
  }),
  success: { 200: 'Lines of the ledger' },
  answer: z.array(StockStep),
  problems: ['QUERY_INVALID', 'NOT_FOUND'],
  handle: ({ sources }, { query: { part, limit } }) => ok([...shopOf(sources).steps({ part: part ?? null, limit })]),
});

export const addStockMove = endpoint({
  method: 'post',
  path: '/api/stock/moves',
  role: 'fitter',
  summary: 'Writes down a count, a delivery, what was taken beside changes, or what is on order',
  headers: IDEMPOTENCY,
  body: StockMoveBody,
  success: { 201: 'The part as it is on the shelf now' },
  answer: StockLine,
  problems: ['STOCK_SHORT', 'KEY_REUSED', 'NOT_FOUND'],
  async handle({ sources, who, answers, audited }, { body, header }) {
    const key = keyOf(header);
    const write = async () => audited(() => shopOf(sources).move(body, { who, key }));
    if (key === undefined) return { status: 201, body: await write() };
    return { status: 201, body: (await answers.once(key, JSON.stringify(body), write)).answer };
  },
});

export const undoStockMove = endpoint({
  method: 'post',
  path: '/api/stock/moves/:id/undo',
  role: 'fitter',
  summary: 'Takes a line of the ledger back; it stays on record',
  params: z.strictObject({ id: z.coerce.number().int().positive() }),
  success: { 200: 'The part as it is on the shelf now' },
  answer: StockLine,
  problems: ['NOT_FOUND', 'EDITED_MEANWHILE', 'STOCK_SHORT'],
  handle: ({ sources, who }, { params: { id } }) => ok(shopOf(sources).undoMove(id, who)),
});

export const stateStockItem = endpoint({
  method: 'put',
  path: '/api/stock/:part',
  role: 'fitter',
  summary: 'States how a part is kept: order number and supplier (free text of the shop), lead time, service level',
  params: Part,
  body: z.strictObject({ version: z.number().int().min(0), item: StockItem }).meta({ id: 'StockItemBody' }),
  success: { 200: 'The part as it is kept now' },
  answer: StockLine,
  problems: ['EDITED_MEANWHILE', 'NOT_FOUND'],
  handle: ({ sources, who }, { params: { part }, body }) =>
    ok(shopOf(sources).stateItem(part, body.item, { who, seen: body.version })),
});
