import { expect, test } from 'vitest';
import type { Store } from '../../../collector/index.ts';
import { baselineDesk } from '../../../dashboard/service/baseline-desk.ts';
import { NOON } from '../hall-guns.ts';
import { type OpenHall, openHall } from '../open-hall.ts';
import { deskSources } from './open-desk.ts';

const DAY_MS = 86_400_000;
const CHANGE = {
  ...{ part: 'pump-insert', time: NOON - 2 * DAY_MS, noticed: NOON - 2 * DAY_MS + 3_600_000 },
  ...{ before: 0.19, after: 0.01, sd: 0.02, sprayHours: 52, counted: true },
};

/** A desk on which gun-01 seems to have been changed without a word two days ago. */
async function open(): Promise<OpenHall & { store: Store; looks: () => number }> {
  const made = deskSources();
  let looks = 0;
  const views = made.sources
    .views()
    .map((view) => (view.id === 'gun-01' ? { ...view, silentChanges: [CHANGE] } : view));
  const baselines = baselineDesk({
    ...{ store: made.store, plant: made.sources.plant, source: 'api', now: () => NOON },
    ...{ views: () => views, changed: () => looks++ },
  });
  const sources = { ...made.sources, views: () => views, baselines };
  return { ...(await openHall({ sources })), store: made.store, looks: () => looks };
}

const at = new Date(CHANGE.time).toISOString();
const asked = { gun: 'gun-01', part: 'pump-insert', time: at };

test('a silent change is offered, confirmed into the log with who, and offered again when the entry is taken back', async () => {
  const desk = await open();
  const offers = async () =>
    ((await desk.get('/api/silent-changes?gun=gun-01')).body as { offered: unknown[] }).offered;
  expect(await offers()).toMatchObject([{ ...asked, excessBefore: 0.19, excessAfter: 0.01, counted: true }]);
  const { status, body } = await desk.post('/api/silent-changes/confirm', { ...asked, found: 'worn' });
  expect(status).toBe(201);
  expect(body).toMatchObject({ ...asked, action: 'replaced', found: 'worn', who: 'local' });
  expect(desk.looks()).toBe(1);
  expect(await offers()).toEqual([]);
  expect((await desk.post('/api/silent-changes/confirm', asked)).status).toBe(404);
  const id = Number((body as { id: string }).id);
  desk.store.log.correct(id, { recordedAt: NOON, source: 'api', why: '', replacement: null });
  expect(await offers()).toHaveLength(1);
});

test('it may have been done later than the air is dated to, up to when it was noticed, and logged by hand likewise', async () => {
  const desk = await open();
  const offers = async () => ((await desk.get('/api/silent-changes')).body as { offered: unknown[] }).offered;
  const done = (time: number) => ({ ...asked, doneAt: new Date(time).toISOString() });
  expect((await desk.post('/api/silent-changes/confirm', done(CHANGE.time - 13 * 3_600_000))).status).toBe(422);
  expect((await desk.post('/api/silent-changes/confirm', done(NOON + 1000))).status).toBe(422);
  const { status, body } = await desk.post('/api/silent-changes/confirm', done(CHANGE.noticed));
  expect([status, (body as { time: string }).time]).toEqual([201, new Date(CHANGE.noticed).toISOString()]);
  expect(await offers()).toEqual([]);
  const id = Number((body as { id: string }).id);
  desk.store.log.correct(id, { recordedAt: NOON, source: 'api', why: '', replacement: null });
  expect(await offers()).toHaveLength(1);
  const entry = { gun: 'gun-01', part: 'pump-insert', action: 'replaced' as const, found: null, note: '' };
  desk.store.log.add({ ...entry, time: CHANGE.noticed - 1000 }, { recordedAt: NOON, source: 'api', who: 'Ann' });
  expect(await offers()).toEqual([]);
});

test('dismissed with a reason it is offered no more, until that is taken back', async () => {
  const desk = await open();
  expect((await desk.post('/api/silent-changes/dismiss', { ...asked, reason: ' ' })).status).toBe(422);
  const { status, body } = await desk.post('/api/silent-changes/dismiss', { ...asked, reason: 'only cleaned' });
  expect(status).toBe(201);
  const { id } = body as { id: number };
  expect((await desk.get('/api/silent-changes')).body).toMatchObject({
    offered: [],
    dismissed: [{ id, reason: 'only cleaned', who: 'local', time: at }],
  });
  expect((await desk.get(`/api/silent-changes/dismissals/${id}`, { method: 'DELETE' })).status).toBe(200);
  expect((await desk.get(`/api/silent-changes/dismissals/${id}`, { method: 'DELETE' })).status).toBe(404);
  expect((await desk.get('/api/silent-changes')).body).toMatchObject({
    offered: [{ part: 'pump-insert' }],
    dismissed: [],
  });
});

test('learning anew wants a gun with readings, a time within them, and a reason', async () => {
  const desk = await open();
  const refused = async (body: object): Promise<string> => {
    const { status, body: problem } = await desk.post('/api/relearnings', body);
    expect(status).toBe(422);
    return (problem as { detail: string }).detail;
  };
  expect(await refused({ gun: 'gun-99', from: at, reason: 'x' })).toMatch(
    /#\/gun: found "gun-99", expected a gun of the plant/,
  );
  expect(await refused({ gun: 'gun-01', from: at, reason: 'x' })).toBe(
    '#/gun: gun-01 has no readings yet: there is nothing to learn from',
  );
  expect(await refused({ gun: 'gun-01', from: at, reason: '' })).toMatch(/#\/reason/);
  expect(await refused({ gun: 'gun-01', from: 'Monday', reason: 'x' })).toMatch(/#\/from/);
  expect((await desk.get('/api/relearnings')).body).toEqual([]);
  expect((await desk.get('/api/relearnings/1', { method: 'DELETE' })).status).toBe(404);
});

test('a gun that never sprayed has a baseline that says so; one that is not there has none', async () => {
  const desk = await open();
  const { status, body } = await desk.get('/api/guns/gun-01/baseline');
  expect(status).toBe(200);
  expect(body).toMatchObject({ gun: 'gun-01', from: null, lacking: 'no-runs', powders: [], points: [] });
  const csv = await desk.get('/api/guns/gun-01/baseline.csv');
  expect(csv.body).toBe(
    'what,powder,output [g/min],conveying air [m3/h],lowest 80 % [m3/h],highest 80 % [m3/h],from,to,runs,spray minutes,why left out,powder name\r\n',
  );
  expect((await desk.get('/api/guns/gun-99/baseline')).status).toBe(404);
});
