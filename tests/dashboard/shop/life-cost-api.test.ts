import { describe, expect, it } from 'vitest';
import type { CostAnswer, JournalLine, LifeAnswer, Report } from '../../../dashboard/server/index.ts';
import { DAY, NOON, shopHall } from './open-shop-hall.ts';

describe('lives over HTTP', () => {
  it('come from log and spray runs, say when they are too thin, and are told apart by gun', async () => {
    const { get, changed } = await shopHall();
    changed('pump-insert', 90, 'worn');
    changed('pump-insert', 60, 'worn');
    changed('pump-insert', 35, 'good');
    const { body } = await get('/api/life?part=pump-insert');
    expect(body).toMatchObject({
      measure: 'sprayHours',
      groups: [{ part: 'pump-insert', group: null, lives: 3, ended: 1, enough: 'too thin', b10: null }],
      left: { noStart: 1, noReadings: 0, notUsed: 0 },
    });
    for (const daysAgo of [95, 70, 48, 20]) changed('pump-insert', daysAgo, 'failed', 'gun-02');
    const thin = (await get('/api/life?part=pump-insert')).body as LifeAnswer;
    expect(thin.groups[0]).toMatchObject({ enough: 'thin', ended: 4 });
    expect(thin.groups[0]!.b10!.low).toBeLessThan(thin.groups[0]!.b10!.value);
    expect(thin.groups[0]!.best).toMatchObject({ age: null, says: expect.stringContaining('State what') });
    const byGun = (await get('/api/life?by=gun')).body as LifeAnswer;
    expect(byGun.groups.map(({ group, ended }) => [group, ended])).toEqual([
      ['gun-01', 1],
      ['gun-02', 3],
    ]);
    const kilograms = (await get('/api/life?measure=kilograms')).body as LifeAnswer;
    expect(kilograms.groups[0]!.b10!.value / thin.groups[0]!.b10!.value).toBeCloseTo(9, 6);
  });

  it('name the best age once the shop has stated its costs', async () => {
    const { get, put, changed } = await shopHall();
    for (const daysAgo of [95, 72, 48, 20]) changed('pump-insert', daysAgo, 'worn');
    const stated = await put('/api/cost/figures', {
      version: 0,
      figures: { currency: 'EUR', parts: { 'pump-insert': { planned: 20, unplanned: 150 } } },
    });
    expect(stated).toMatchObject({ status: 200, body: { version: 1, figures: { specificEnergy: 0.12 } } });
    const { groups } = (await get('/api/life')).body as LifeAnswer;
    expect(groups[0]!.best.age).toBeGreaterThan(0);
    expect(groups[0]!.best.costRate).toBeLessThan(groups[0]!.best.costRateToEnd!);
  });
});

describe('the cost of wear over HTTP', () => {
  const need = [{ powder: 'p-white', usualOutput: 150, neededAir: 2, elasticity: 1.5 }];
  const wearing = () => shopHall((view) => ({ ...view, airNeeds: need }));

  it('is excess air by gun and month in normal cubic metres and kilowatt-hours, and says what the air is beside the rest', async () => {
    const { get } = await wearing();
    const { body } = await get('/api/cost');
    const told = body as CostAnswer;
    const full = told.rows.find(({ month, gun }) => gun === 'gun-01' && month === told.to)!;
    expect(full.excessAirM3).toBeCloseTo(0.2 * full.sprayHours, 6);
    expect(full.energyKwh).toBeCloseTo(0.12 * full.excessAirM3!, 9);
    expect(full.airMoney).toBeNull();
    expect(told.says).toContain('small part');
    expect(told.specificEnergy.source).toContain('kWh per m³');
  });

  it('takes powder and rejects from the shop, by month and gun, and refuses what is not there', async () => {
    const { get, put } = await wearing();
    const month = new Date(NOON).toISOString().slice(0, 7);
    await put('/api/cost/figures', {
      version: 0,
      figures: { currency: 'EUR', powderPrice: 5, rejectCost: 12, energyPrice: 0.25 },
    });
    await put(`/api/cost/losses/${month}/gun-01`, { version: 0, losses: { powderKilograms: 30, rejects: 4 } });
    const told = (await get(`/api/cost?from=${month}&to=${month}`)).body as CostAnswer;
    expect(told.rows.find(({ gun }) => gun === 'gun-01')).toMatchObject({
      powderMoney: 150,
      rejectMoney: 48,
    });
    expect(told.total.money).toBeGreaterThan(198);
    expect(await put(`/api/cost/losses/${month}/gun-99`, { version: 0, losses: {} })).toMatchObject({ status: 422 });
    expect(await put('/api/cost/losses/2099-01/gun-01', { version: 0, losses: {} })).toMatchObject({ status: 422 });
    expect((await get('/api/cost?from=2026-05&to=2026-01')).status).toBe(400);
    const csv = (await get(`/api/cost.csv?from=${month}&to=${month}`)).body as string;
    expect(csv.split('\r\n')[0]).toContain('month,gun,spray_hours');
    expect(csv).toContain(',30,150,4,48,');
  });
});

describe('journal and reports', () => {
  it('tell all that was done with who and when, and what was taken back beside its original', async () => {
    const { get, post, changed } = await shopHall();
    const entry = changed('pump-insert', 3, 'worn');
    await post(`/api/log/${entry}/correct`, {
      why: 'it was gun 2',
      replacement: {
        gun: 'gun-02',
        part: 'pump-insert',
        action: 'replaced',
        time: new Date(NOON - 3 * DAY).toISOString(),
      },
    });
    await post('/api/stock/moves', { part: 'nozzle', kind: 'counted', quantity: 2 });
    const lines = (await get('/api/journal')).body as JournalLine[];
    expect(
      lines.filter(({ kind }) => kind === 'work').map(({ gun, who, takenBack }) => [gun, who, takenBack !== null]),
    ).toEqual([
      ['gun-01', 'Ann', true],
      ['gun-02', 'local', false],
    ]);
    expect(lines.find(({ kind }) => kind === 'correction')).toMatchObject({ note: 'it was gun 2', who: 'local' });
    expect(lines.find(({ kind }) => kind === 'shelf')).toMatchObject({ what: 'counted 2' });
    expect((await get('/api/journal.csv')).body).toContain('taken back by local');
  });

  it('keep what was said of baselines, findings and runs, and what of it was taken back or said anew', async () => {
    const { get, store } = await shopHall();
    const { id } = store.baselines.relearn(
      { gun: 'gun-01', from: NOON - 9 * DAY, decided: NOON, reason: 'another pump' },
      { at: NOON, who: 'Ann' },
    );
    store.baselines.undoRelearning(id, NOON, { at: NOON + 1, who: 'Bo' });
    store.baselines.dismiss(
      { gun: 'gun-01', part: 'pump-insert', time: NOON, reason: 'only cleaned' },
      { at: NOON, who: 'Ann' },
    );
    store.truths.exclude({ gun: 'gun-02', from: NOON - DAY, to: NOON, reason: 'trial' }, { at: NOON, who: 'Bo' });
    const finding = { gun: 'gun-01', cause: 'pump-seals', raised: NOON - DAY, reason: '' };
    store.truths.judge({ ...finding, judged: 'wrong' }, { at: NOON, who: 'Ann' });
    store.truths.judge({ ...finding, judged: null }, { at: NOON + 2, who: 'Bo' });
    const lines = (await get('/api/journal')).body as JournalLine[];
    const words = lines.filter(({ kind }) => kind === 'word');
    expect(
      words.map(({ gun, subject, who, takenBack }) => [gun, subject, who, takenBack?.split(' at ')[0] ?? null]),
    ).toEqual([
      ['gun-01', 'pump-seals', 'Bo', null],
      ['gun-01', 'baseline', 'Ann', 'taken back by Bo'],
      ['gun-01', 'pump-insert', 'Ann', null],
      ['gun-02', 'runs', 'Bo', null],
      ['gun-01', 'pump-seals', 'Ann', 'taken back by Bo'],
    ]);
    expect(words.find(({ subject }) => subject === 'baseline')).toMatchObject({ note: 'another pump' });
    expect((await get('/api/journal.csv')).body).toContain(',word,gun-02,runs,');
  });

  it('are a page of the shift and of the week, with spray hours, jobs, what was done and what to order', async () => {
    const { get, post, changed } = await shopHall();
    changed('pump-insert', 1, 'worn');
    await post('/api/stock/moves', { part: 'pump-insert', kind: 'counted', quantity: 0 });
    const week = (await get('/api/report?kind=week')).body as Report;
    expect((Date.parse(week.to) - Date.parse(week.from)) / DAY).toBeCloseTo(7, 0);
    expect(week.guns[0]!.sprayHours).toBeGreaterThan(1);
    expect(week.open.find(({ part }) => part === 'pump-insert')!.stock).toBe('none on the shelf, none on order');
    expect(week.done.map(({ kind }) => kind)).toContain('work');
    const shift = (await get('/api/report')).body as Report;
    expect(Date.parse(shift.to) - Date.parse(shift.from)).toBe(8 * 3_600_000);
    const csv = await get('/api/report.csv?kind=week');
    expect(csv.body).toContain('section,time,gun');
    expect(csv.headers.get('Content-Disposition')).toContain('week-');
  });
});
