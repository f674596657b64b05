import { describe, expect, it } from 'vitest';
import type { StockLine } from '../../../dashboard/server/index.ts';
import { DAY, NOON, shopHall } from './open-shop-hall.ts';

const at = (daysAgo: number): string => new Date(NOON - daysAgo * DAY).toISOString();
const lineOf = (body: unknown, part = 'pump-insert'): StockLine =>
  (body as StockLine[]).find((line) => line.part === part)!;

describe('the shelf over HTTP', () => {
  it('is not kept before the first count, and nothing of order numbers and suppliers is filled in', async () => {
    const { get } = await shopHall();
    const { status, body } = await get('/api/stock');
    expect(status).toBe(200);
    expect(lineOf(body)).toMatchObject({
      onHand: null,
      shortage: 0,
      order: 0,
      version: 0,
      item: { orderNumber: '', supplier: '' },
    });
  });

  it('gives one for a logged change, once, and has it again when the entry is taken back', async () => {
    const { get, post, changed } = await shopHall();
    await post('/api/stock/moves', { part: 'pump-insert', kind: 'counted', quantity: 4, time: at(10) });
    const entry = changed('pump-insert', 3, 'worn');
    expect(lineOf((await get('/api/stock')).body).onHand).toBe(3);
    const corrected = await post(`/api/log/${entry}/correct`, { why: 'wrong gun' });
    expect(corrected).toMatchObject({ status: 200, body: { entry, replacement: null } });
    expect(lineOf((await get('/api/stock')).body).onHand).toBe(4);
    const again = await post(`/api/log/${entry}/correct`, {});
    expect(again).toMatchObject({ status: 409, body: { code: 'EDITED_MEANWHILE' } });
  });

  it('keeps a change that was made as a recorded shortage, and refuses to take by hand what is not there', async () => {
    const { get, post, changed } = await shopHall();
    await post('/api/stock/moves', { part: 'nozzle', kind: 'counted', quantity: 1, time: at(10) });
    const refused = await post('/api/stock/moves', { part: 'nozzle', kind: 'taken', quantity: 2 });
    expect(refused).toMatchObject({
      status: 409,
      body: { code: 'STOCK_SHORT', detail: expect.stringContaining('there are 1 on the shelf') },
    });
    changed('nozzle', 3);
    changed('nozzle', 2);
    expect(lineOf((await get('/api/stock')).body, 'nozzle')).toMatchObject({ onHand: 0, shortage: 1 });
    const moves = (await get('/api/stock/moves?part=nozzle')).body as { kind: string }[];
    expect(moves.map(({ kind }) => kind)).toEqual(['used', 'used', 'counted']);
    await post('/api/stock/moves', { part: 'nozzle', kind: 'counted', quantity: 0 });
    expect(lineOf((await get('/api/stock')).body, 'nozzle')).toMatchObject({ onHand: 0, shortage: 0 });
  });

  it('reckons the demand from the interval that the shop has set, for the site or for one gun', async () => {
    const { get, store, changed } = await shopHall((view) => ({ ...view, remaining: null }));
    // 1.6 spray hours a day in both guns: a filter fitted 10 days ago has 16 h behind it.
    for (const gun of ['gun-01', 'gun-02']) changed('conveying-filter', 10, 'good', gun);
    const demand = async (): Promise<number> => lineOf((await get('/api/stock')).body, 'conveying-filter').expected;
    const state = (subject: string, sprayHours: number): void => {
      const value = { sprayHours, days: null, work: 'change' };
      store.figures.state(subject, { value, did: '' }, { who: 'Ann', seen: 0, recordedAt: NOON });
    };
    expect(await demand()).toBeLessThan(0.5);
    state('rule:gun-01:conveying-filter', 17);
    const one = await demand();
    expect(one).toBeGreaterThan(0.9);
    state('rule::conveying-filter', 17);
    expect(await demand()).toBeGreaterThan(one + 0.9);
  });

  it('refuses a move in the future, of no part or below nothing, in one sentence each', async () => {
    const { post } = await shopHall();
    const move = { part: 'nozzle', kind: 'counted', quantity: 1 };
    const detail = async (body: object): Promise<string> => {
      const answer = await post('/api/stock/moves', body);
      expect(answer.status).toBe(422);
      return (answer.body as { detail: string }).detail;
    };
    expect(await detail({ ...move, time: new Date(NOON + DAY).toISOString() })).toContain('is in the future');
    expect(await detail({ ...move, quantity: -1 })).toContain('quantity');
    expect(await detail({ ...move, part: 'pump' })).toContain('found "pump"');
  });

  it('writes a move of the same key once, and takes a line back', async () => {
    const { get, post } = await shopHall();
    const move = { part: 'nozzle', kind: 'delivered', quantity: 3 };
    await post('/api/stock/moves', move, { 'Idempotency-Key': 'k1' });
    await post('/api/stock/moves', move, { 'Idempotency-Key': 'k1' });
    expect(lineOf((await get('/api/stock')).body, 'nozzle').onHand).toBe(3);
    const [line] = (await get('/api/stock/moves')).body as { id: number }[];
    const undone = await get(`/api/stock/moves/${line!.id}/undo`, { method: 'POST' });
    expect(undone).toMatchObject({ status: 200, body: { onHand: null } });
    expect((await get('/api/stock/moves')).body).toMatchObject([{ undone: { who: 'local' } }]);
  });

  it('takes how a part is kept from whoever saw the newest version', async () => {
    const { get, put } = await shopHall();
    const item = { orderNumber: 'A 7', supplier: 'our usual one', leadTimeDays: 21, serviceLevel: 0.9 };
    const first = await put('/api/stock/pump-insert', { version: 0, item });
    expect(first).toMatchObject({
      status: 200,
      body: { version: 1, item: { orderNumber: 'A 7', leadTimeDays: 21, perChange: 1 } },
    });
    const second = await put('/api/stock/pump-insert', { version: 0, item });
    expect(second).toMatchObject({ status: 409, body: { code: 'EDITED_MEANWHILE' } });
    expect(lineOf((await get('/api/stock')).body).item.supplier).toBe('our usual one');
  });

  it('asks to order at the reorder point, from the remaining lives of all fitted parts', async () => {
    // Eight guns, each sure to end within the lead time of 14 days at 1.6 spray hours a day: two of them spray.
    const { get, post } = await shopHall((view) => ({ ...view, remaining: { p10: 1, p50: 2, p90: 3 } }));
    await post('/api/stock/moves', { part: 'pump-insert', kind: 'counted', quantity: 1 });
    const line = lineOf((await get('/api/stock')).body);
    expect(line.expected).toBeCloseTo(2, 3);
    expect(line.reorderPoint).toBe(2);
    expect(line.order).toBe(line.orderUpTo - 1);
    expect(line.says).toContain('the air (8 guns)');
    const csv = await get('/api/stock/reorder.csv');
    expect(csv.type).toContain('text/csv');
    expect(csv.body).toBe(
      'part,order,order_number,supplier,on_shelf,on_order,reorder_point,expected_in_lead_time,lead_time_days,service_level,note\r\n' +
        `pump-insert,${line.order},,,1,0,2,2,14,0.95,\r\n`,
    );
    await post('/api/stock/moves', { part: 'pump-insert', kind: 'ordered', quantity: 5 });
    expect(lineOf((await get('/api/stock')).body)).toMatchObject({ onOrder: 5, order: 0 });
  });
});
