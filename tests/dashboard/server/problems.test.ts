import { request } from 'node:http';
import { expect, test } from 'vitest';
import { AppError } from '../../../collector/contract/index.ts';
import { Problem } from '../../../dashboard/server/problem.ts';
import { openHall } from '../open-hall.ts';

const entry = { gun: 'gun-01', part: 'pump-insert', action: 'replaced' };

test.each([
  ['/api/nothing', 404, 'NOT_FOUND', 'nothing is at /api/nothing'],
  ['/%ff', 404, 'NOT_FOUND', 'nothing is at /%ff'],
  ['/api/guns/%ff/history', 400, 'REQUEST_UNREADABLE', 'the path holds a % that no two hexadecimal digits'],
  ['/assets/..%2f..%2fpackage.json', 404, 'NOT_FOUND', 'nothing is at'],
  ['/api/findings?limit=0', 400, 'QUERY_INVALID', 'limit: found "0", expected at least 1'],
  ['/api/findings?limit=10001', 400, 'QUERY_INVALID', 'limit: found "10001", expected at most 10000'],
  ['/api/findings?limit=five', 400, 'QUERY_INVALID', 'limit: found "five", expected a number'],
  ['/api/findings?limit=1&limit=2', 400, 'QUERY_INVALID', 'limit: found a list of 2, expected a number'],
  ['/api/findings?open=yes', 400, 'QUERY_INVALID', 'open: found "yes", expected one of true, false'],
  [
    '/api/findings?before=yesterday',
    400,
    'QUERY_INVALID',
    'before: found "yesterday", expected a time in ISO 8601, such as 2026-03-02T08:00:00Z',
  ],
  ['/api/guns?gun=gun-01', 400, 'QUERY_INVALID', 'gun: found the unknown parameter "gun", expected none'],
])('GET %s is answered %i %s', async (path, status, code, detail) => {
  const { get, faults } = await openHall();
  const answer = await get(path);
  expect(answer.status).toBe(status);
  expect(answer.type).toBe('application/problem+json; charset=utf-8');
  expect(Problem.parse(answer.body)).toMatchObject({ status, code });
  expect(Problem.parse(answer.body).detail).toContain(detail);
  expect(faults).toEqual([]);
});

test.each([
  ['a bare number', '7', 400, 'REQUEST_UNREADABLE', 'not JSON'],
  ['broken JSON', '{"gun":', 400, 'REQUEST_UNREADABLE', 'not JSON'],
  ['an empty body', '', 422, 'BODY_INVALID', '#/gun: found nothing, expected text'],
  ['a list', [], 422, 'BODY_INVALID', 'body: found a list of 0, expected a mapping'],
  [
    'an unknown field',
    { ...entry, who: 'me' },
    422,
    'BODY_INVALID',
    '#/who: found the unknown field "who", expected only time gun part',
  ],
  [
    'no part',
    { gun: 'gun-01', action: 'replaced' },
    422,
    'BODY_INVALID',
    '#/part: found nothing, expected one of inlet-filter, ',
  ],
  [
    'an unknown part',
    { ...entry, part: 'pump' },
    422,
    'BODY_INVALID',
    '#/part: found "pump", expected one of inlet-filter, fluidizing-ring, ',
  ],
  [
    'an unknown action',
    { ...entry, action: 'swapped' },
    422,
    'BODY_INVALID',
    '#/action: found "swapped", expected one of replaced, inspected, ',
  ],
  [
    'an unknown gun',
    { ...entry, gun: 'gun-99' },
    422,
    'BODY_INVALID',
    'no gun "gun-99" in the plant file; expected one of gun-01',
  ],
  ['a time without offset', { ...entry, time: '2026-03-11T13:00:00' }, 422, 'BODY_INVALID', '#/time: '],
  ['a time six minutes ahead', { ...entry, time: '2026-03-11T13:38:00Z' }, 422, 'BODY_INVALID', 'is in the future'],
  ['a time before 2000', { ...entry, time: '1999-12-31T23:59:59Z' }, 422, 'BODY_INVALID', 'is before 2000'],
  ['control characters', { ...entry, note: 'a\u0000b' }, 422, 'BODY_INVALID', 'control characters'],
  [
    'half a character',
    '{"gun":"gun-01","part":"nozzle","action":"cleaned","note":"\\ud800"}',
    422,
    'BODY_INVALID',
    'Unicode',
  ],
  ['too long a note', { ...entry, note: 'x'.repeat(2001) }, 422, 'BODY_INVALID', '#/note: '],
  ['too large a body', { ...entry, note: 'x'.repeat(70_000) }, 413, 'BODY_TOO_LARGE', 'longer than 65536 bytes'],
])('a log entry with %s is refused', async (_what, body, status, code, detail) => {
  const { get, post, faults } = await openHall();
  const answer = await post('/api/log', body);
  expect(Problem.parse(answer.body)).toMatchObject({ status, code });
  expect(answer.status).toBe(status);
  expect(Problem.parse(answer.body).detail).toContain(detail);
  expect((await get('/api/log')).body).toEqual([]);
  expect(faults).toEqual([]);
});

test('a time five minutes ahead is still taken, for clocks differ', async () => {
  const { post } = await openHall();
  expect((await post('/api/log', { ...entry, time: '2026-03-11T13:37:00Z' })).status).toBe(201);
});

test('every fault of an entry is named with its place', async () => {
  const { post } = await openHall();
  const { body } = await post('/api/log', { ...entry, gun: 'gun-99', time: '2099-01-01T00:00:00Z' });
  expect(Problem.parse(body).errors?.map(({ pointer }) => pointer)).toEqual(['#/gun', '#/time']);
});

test('a body of another kind is refused', async () => {
  const { post } = await openHall();
  const answer = await post('/api/log', 'gun=gun-01', { 'Content-Type': 'application/x-www-form-urlencoded' });
  expect(answer.body).toMatchObject({ status: 415, code: 'MEDIA_TYPE' });
});

test('a known address says that it does not take a method', async () => {
  const { get } = await openHall();
  expect((await get('/api/log', { method: 'DELETE' })).body).toMatchObject({ status: 405, code: 'METHOD_UNKNOWN' });
});

test('a key that was used for another entry is refused', async () => {
  const { get, post } = await openHall();
  await post('/api/log', entry, { 'Idempotency-Key': 'k' });
  const answer = await post('/api/log', { ...entry, action: 'cleaned' }, { 'Idempotency-Key': 'k' });
  expect(answer.body).toMatchObject({ status: 409, code: 'KEY_REUSED' });
  expect((await get('/api/log')).body).toHaveLength(1);
});

test('a full disk is said plainly, and the entry may be sent again under its key', async () => {
  const { get, post, failNextLog, faults } = await openHall();
  failNextLog(new AppError('DISK_FULL', 'the entry was not written: no space left in the data folder'));
  const refused = await post('/api/log', entry, { 'Idempotency-Key': 'k' });
  expect(refused.body).toMatchObject({ status: 507, code: 'DISK_FULL' });
  expect(faults).toHaveLength(1);
  expect((await post('/api/log', entry, { 'Idempotency-Key': 'k' })).status).toBe(201);
  expect((await get('/api/log')).body).toHaveLength(1);
});

test('a fault of our own shows nothing of its inside', async () => {
  const { post, failNextLog, faults } = await openHall();
  const fault = new TypeError('secret inside');
  failNextLog(fault);
  const answer = await post('/api/log', entry);
  expect(answer.body).toMatchObject({ status: 500, code: 'INTERNAL' });
  expect(JSON.stringify(answer.body)).not.toContain('secret');
  expect(faults).toEqual([fault]);
});

test('text from outside comes back without control characters and cut short', async () => {
  const { post } = await openHall();
  const { body } = await post('/api/log', { ...entry, [`\u001b[31m${'x'.repeat(5000)}`]: 1 });
  const { detail } = Problem.parse(body);
  expect(detail).toHaveLength(600);
  expect(detail).not.toContain('\u001b');
});

test('a request that is not HTTP ends without harm', async () => {
  const { get, dashboard } = await openHall();
  await new Promise<void>((resolve) => {
    const broken = request({
      port: dashboard.port,
      host: '127.0.0.1',
      headers: { 'Content-Length': '10' },
      method: 'POST',
    });
    broken.on('error', () => resolve());
    broken.end('{"a"', () => broken.destroy());
    broken.on('close', () => resolve());
  });
  expect((await get('/healthz')).status).toBe(200);
});
