import ICAL from 'ical.js';
import { expect, test } from 'vitest';
import { openHall } from '../../open-hall.ts';

const put = async (url: string, body: unknown) => {
  const answer = await fetch(url, {
    method: 'PUT',
    headers: { 'Content-Type': 'application/json' },
    body: JSON.stringify(body),
  });
  return { status: answer.status, body: (await answer.json()) as { detail?: string; version?: number } };
};

test('two who change a job: the second gets 409 and sees the first’s change', async () => {
  const { get, post } = await openHall();
  const [job] = (await get('/api/jobs')).body as { id: string; version: number }[];
  const deeds = `/api/jobs/${encodeURIComponent(job!.id)}/deeds`;
  expect((await post(deeds, { deed: 'acknowledge', version: 0 })).status).toBe(200);
  const second = await post(deeds, { deed: 'acknowledge', version: 0 });
  expect(second).toMatchObject({ status: 409, body: { code: 'EDITED_MEANWHILE' } });
  expect(((await get('/api/jobs')).body as { version: number; alert: string }[])[0]).toMatchObject({
    version: 1,
    alert: 'acknowledged',
  });
});

test('a deed names what is wrong with it', async () => {
  const { get, post } = await openHall();
  const [job] = (await get('/api/jobs')).body as { id: string }[];
  const deeds = `/api/jobs/${encodeURIComponent(job!.id)}/deeds`;
  expect(await post(deeds, { deed: 'shelve', version: 0, until: '2026-03-12T06:00:00Z', reason: ' ' })).toMatchObject({
    status: 422,
    body: { errors: [{ pointer: '#/reason' }] },
  });
  expect(await post(deeds, { deed: 'plan', version: 0, for: '2020-01-01T00:00:00Z' })).toMatchObject({
    status: 422,
    body: { errors: [{ pointer: '#/for' }] },
  });
  expect((await post('/api/jobs/none/deeds', { deed: 'acknowledge', version: 0 })).status).toBe(404);
});

test('the plan is served as a calendar that others can read', async () => {
  const { url } = await openHall();
  const answer = await fetch(`${url}/api/plan.ics`);
  expect(answer.headers.get('content-type')).toBe('text/calendar; charset=utf-8');
  const calendar = new ICAL.Component(ICAL.parse(await answer.text()));
  expect(calendar.getFirstPropertyValue('version')).toBe('2.0');
});

test('a calendar or interval that cannot be is refused with its place', async () => {
  const { url } = await openHall();
  const calendar = { shifts: [{ name: 'Day', days: [8], start: '06:00', end: '14:00' }] };
  expect(await put(`${url}/api/calendar`, { version: 0, calendar })).toMatchObject({
    status: 422,
    body: { errors: [{ pointer: '#/calendar/shifts/0/days/0' }] },
  });
  expect((await put(`${url}/api/intervals/gun-99/nozzle`, { version: 0, interval: null })).status).toBe(404);
  expect(await put(`${url}/api/intervals/gun-01/nozzle`, { version: 0, interval: { days: -3 } })).toMatchObject({
    status: 422,
  });
});

test('a gun goes out of service and back, and its page says so', async () => {
  const { url, get } = await openHall();
  const out = await put(`${url}/api/guns/gun-01/service`, { version: 0, outOfService: { reason: 'being moved' } });
  expect(out).toMatchObject({ status: 200, body: { version: 1, value: { reason: 'being moved' } } });
  expect((await get('/api/guns/gun-01')).body).toMatchObject({ outOfService: { reason: 'being moved' } });
  expect((await put(`${url}/api/guns/gun-01/service`, { version: 0, outOfService: null })).status).toBe(409);
  expect((await put(`${url}/api/guns/gun-01/service`, { version: 1, outOfService: null })).status).toBe(200);
});

test('a measurement that cannot be is refused, one that can is kept', async () => {
  const { post } = await openHall();
  const look = { gun: 'gun-01', part: 'pump-insert', action: 'inspected' };
  expect(await post('/api/log', { ...look, measured: { value: 80, unit: 'mm' } })).toMatchObject({
    status: 422,
    body: { errors: [{ pointer: '#/measured' }] },
  });
  expect(await post('/api/log', { ...look, measured: { value: 12, unit: 'mm' } })).toMatchObject({
    status: 201,
    body: { measured: { value: 12, unit: 'mm' } },
  });
});
