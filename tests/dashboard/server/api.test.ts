import { expect, test } from 'vitest';
import { INSERT_JOB, NOON } from '../hall-guns.ts';
import { openHall } from '../open-hall.ts';

type Findings = { cause: string; raised: string }[];

test('open findings come newest first', async () => {
  const { get } = await openHall();
  const { status, body } = await get('/api/findings?open=true');
  expect(status).toBe(200);
  expect((body as Findings).map(({ cause }) => cause)).toEqual(['conveying-filter', 'pump-seals', 'pump-insert']);
});

test('findings stop at the limit and before the given time', async () => {
  const { get } = await openHall();
  const { body: two } = await get('/api/findings?limit=2');
  expect(two).toHaveLength(2);
  const before = (two as Findings)[1]?.raised as string;
  const { body: older } = await get(`/api/findings?before=${encodeURIComponent(before)}`);
  expect((older as Findings).map(({ cause }) => cause)).toEqual(['pump-insert']);
});

test('a gun’s condition carries the age of its newest reading in seconds', async () => {
  let now = NOON;
  const { get } = await openHall({ hall: { now: () => now }, now: () => now });
  now += 12_340;
  const { body } = await get('/api/guns');
  expect((body as { id: string; state: string; ageSeconds: number }[])[0]).toMatchObject({
    id: 'gun-01',
    state: 'maintenance-required',
    ageSeconds: 12.3,
  });
});

test('a clock that runs ahead makes no negative age', async () => {
  let now = NOON;
  const { get } = await openHall({ hall: { now: () => now }, now: () => now });
  now -= 60_000;
  const { body } = await get('/api/readings/latest');
  expect((body as { ageSeconds: number }[])[0]?.ageSeconds).toBe(0);
});

test('plant-air points without a reading are listed with nulls', async () => {
  const { get } = await openHall();
  const { body } = await get('/api/readings/latest');
  expect((body as { station: string }[]).at(-1)).toEqual({
    station: 'dryer-out',
    time: null,
    receivedAt: null,
    ageSeconds: null,
    intervalSeconds: null,
    online: null,
    values: {},
  });
});

test('the wall holds the first five jobs and says how many there are', async () => {
  const jobs = Array.from({ length: 7 }, (_, index) => ({ ...INSERT_JOB, rank: index + 1 }));
  const { get } = await openHall({ hall: { jobs } });
  const { body } = await get('/api/wall');
  expect(body).toMatchObject({ jobsInAll: 7 });
  expect((body as { jobs: unknown[] }).jobs).toHaveLength(5);
});

test('the wall names what several findings of a gun came to once', async () => {
  const jobs = [1, 2].map((rank) => ({ ...INSERT_JOB, rank }));
  const { get } = await openHall({ hall: { jobs } });
  const { guns } = (await get('/api/wall')).body as { guns: { id: string; causes: string[] }[] };
  expect((await get('/api/findings?open=true')).body).toHaveLength(2);
  expect(guns.filter(({ causes }) => causes.length > 0).map(({ causes }) => causes)).toEqual([['pump-insert']]);
});

test('what is logged is answered and then listed', async () => {
  const { get, post } = await openHall();
  const entry = {
    gun: 'gun-01',
    part: 'pump-insert',
    action: 'replaced',
    found: 'worn',
    time: '2026-03-11T14:00:00+01:00',
  };
  const { status, body } = await post('/api/log', entry);
  expect(status).toBe(201);
  expect(body).toEqual({
    id: '1',
    time: '2026-03-11T13:00:00.000Z',
    gun: 'gun-01',
    part: 'pump-insert',
    action: 'replaced',
    found: 'worn',
    note: '',
    measured: null,
    who: '',
    recordedAt: '2026-03-11T13:32:00.000Z',
  });
  expect((await get('/api/log?gun=gun-01')).body).toEqual([body]);
  expect((await get('/api/log?gun=gun-02')).body).toEqual([]);
});

test('an entry without a time was made now', async () => {
  const { post } = await openHall();
  const { body } = await post('/api/log', { gun: 'gun-01', part: 'sensor:conveying/flow', action: 'replaced' });
  expect(body).toMatchObject({ time: '2026-03-11T13:32:00.000Z', found: null });
});

test('an entry is taken in the forms of the log file: empty found, Unix seconds', async () => {
  const { post } = await openHall();
  const entry = { gun: 'gun-01', part: 'nozzle', action: 'inspected', found: '', note: '', time: '1773225000.5' };
  const { status, body } = await post('/api/log', entry);
  expect(status).toBe(201);
  expect(body).toMatchObject({ time: '2026-03-11T10:30:00.500Z', found: null });
  expect((await post('/api/log', { ...entry, time: '2026-03-11T10:30:00' })).status).toBe(422);
});

test('the same entry under the same key is written once and answered alike', async () => {
  const { get, post } = await openHall();
  const entry = { gun: 'gun-01', part: 'nozzle', action: 'inspected' };
  const first = await post('/api/log', entry, { 'Idempotency-Key': 'k1' });
  const again = await post('/api/log', entry, { 'Idempotency-Key': 'k1' });
  expect([first.status, again.status]).toEqual([201, 200]);
  expect(again.body).toEqual(first.body);
  expect((await get('/api/log')).body).toHaveLength(1);
});

test('readiness tells in one sentence what does not run', async () => {
  const { get, setTrouble } = await openHall();
  expect((await get('/readyz')).status).toBe(200);
  setTrouble('The store cannot be written: the disk is full.');
  const { status, body } = await get('/readyz');
  expect(status).toBe(503);
  expect(body).toMatchObject({ code: 'NOT_READY', detail: 'The store cannot be written: the disk is full.' });
  expect((await get('/healthz')).status).toBe(200);
});

test('counters of the sources are on the metrics page with their labels', async () => {
  const { get } = await openHall();
  await get('/metrics');
  const { type, body } = await get('/metrics');
  expect(type).toContain('text/plain');
  expect(body).toContain('# TYPE driftline_readings_total counter\n');
  expect(body).toContain('driftline_readings_total{result="added"} 1200\n');
  expect(body).toContain('driftline_readings_total{result="duplicate"} 7\n');
  expect(body).toContain('driftline_store_bytes 81920\n');
});
