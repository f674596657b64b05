import { request } from 'node:http';
import { connect } from 'node:net';
import { expect, test } from 'vitest';
import { OperationConfig } from '../../../collector/index.ts';
import { refuseLongSpan } from '../../../dashboard/server/security/query-span.ts';
import { openHall } from '../open-hall.ts';

type Limits = Partial<OperationConfig['http']>;

/** The invented hall with limits of its own, and the lines that its log gets about refusals. */
async function limited(limits: Limits) {
  const refused: object[] = [];
  const open = await openHall({
    http: OperationConfig.parse({ http: limits }).http,
    onRefused: (fields) => refused.push(fields),
  });
  return { ...open, refused };
}

const entry = (note: string) => ({ gun: 'gun-01', part: 'nozzle', action: 'cleaned', note, again: true });
/** A body of exactly so many bytes. */
const bodyOf = (bytes: number): string => {
  const bare = JSON.stringify(entry('')).length;
  return JSON.stringify(entry('x'.repeat(bytes - bare)));
};

test('a body of the longest length is taken, one byte more is not', async () => {
  const { post, refused } = await limited({ maxBodyBytes: 1500 });
  expect((await post('/api/log', bodyOf(1500))).status).not.toBe(413);
  const answer = await post('/api/log', bodyOf(1501));
  expect(answer.body).toMatchObject({ code: 'BODY_TOO_LARGE', detail: 'the body is longer than 1500 bytes' });
  expect(refused).toEqual([expect.objectContaining({ code: 'BODY_TOO_LARGE', path: '/api/log' })]);
});

test('requests of one address beyond so many a minute are refused', async () => {
  const { get } = await limited({ maxRequestsPerMinute: 10 });
  const answers: number[] = [];
  for (let count = 0; count < 12; count += 1) answers.push((await get('/api/guns')).status);
  expect(answers).toEqual([...Array.from({ length: 10 }, () => 200), 429, 429]);
});

test('whether the service lives and takes readings is told however many requests have come', async () => {
  const { get } = await limited({ maxRequestsPerMinute: 10 });
  for (let count = 0; count < 11; count += 1) await get('/api/guns');
  expect((await get('/api/guns')).status).toBe(429);
  expect((await get('/healthz')).status).toBe(200);
  expect((await get('/readyz')).status).not.toBe(429);
});

test('changes of one address beyond so many a minute are refused, looking goes on', async () => {
  const { get, post } = await limited({ maxChangesPerMinute: 2 });
  const answers: number[] = [];
  for (let count = 0; count < 3; count += 1) answers.push((await post('/api/log', { gun: 'gun-99' })).status);
  expect(answers).toEqual([422, 422, 429]);
  expect((await get('/api/guns')).status).toBe(200);
});

test('a client that says it comes from elsewhere is counted where it does come from', async () => {
  const { get } = await limited({ maxRequestsPerMinute: 10 });
  let last = 0;
  for (let count = 0; count < 11; count += 1)
    last = (await get('/api/guns', { headers: { 'X-Forwarded-For': `198.51.100.${count}` } })).status;
  expect(last).toBe(429);
});

test('behind a proxy that is trusted each client is counted for itself', async () => {
  const { get } = await limited({ maxRequestsPerMinute: 10, trustedProxies: ['127.0.0.1'] });
  let last = 0;
  for (let count = 0; count < 11; count += 1)
    last = (await get('/api/guns', { headers: { 'X-Forwarded-For': `198.51.100.${count}` } })).status;
  expect(last).toBe(200);
});

test('so many pages listen for events, and the next one is refused', async () => {
  const { url, get } = await limited({ maxEventStreams: 2 });
  const streams = [await fetch(`${url}/api/events`), await fetch(`${url}/api/events`)];
  expect(streams.map(({ status }) => status)).toEqual([200, 200]);
  expect((await get('/api/events')).body).toMatchObject({ status: 429, code: 'TOO_MANY' });
  for (const { body } of streams) await body?.cancel();
});

test('headers as long as allowed are read, longer ones are not', async () => {
  const { dashboard, refused } = await limited({ maxHeaderBytes: 2048 });
  const ask = (length: number) =>
    new Promise<number>((resolve, reject) => {
      const headers = { 'X-Long': 'x'.repeat(length) };
      const asked = request({ host: '127.0.0.1', port: dashboard.port, path: '/healthz', headers }, (answer) => {
        answer.resume();
        resolve(answer.statusCode ?? 0);
      });
      asked.on('error', reject);
      asked.end();
    });
  expect(await ask(1500)).toBe(200);
  expect(await ask(2500)).toBe(431);
  expect(refused).toEqual([expect.objectContaining({ status: 431 })]);
});

test.each([
  ['headers', { headersTimeoutS: 1 }, 'GET /healthz HTTP/1.1\r\nHost: localhost\r\n'],
  [
    'a body',
    { requestTimeoutS: 1 },
    'POST /api/log HTTP/1.1\r\nHost: localhost\r\nContent-Type: application/json\r\nContent-Length: 500\r\n\r\n{',
  ],
])('%s without an end: given up, and told once', async (_, limits, start) => {
  const { dashboard, refused } = await limited(limits);
  const text = await new Promise<string>((resolve) => {
    let got = '';
    const socket = connect(dashboard.port, '127.0.0.1', () => socket.write(start));
    socket.setEncoding('utf8').on('data', (piece: string) => {
      got += piece;
    });
    socket.on('close', () => resolve(got));
    socket.on('error', () => socket.destroy());
  });
  expect(text).toMatch(/^HTTP\/1\.1 408 /);
  expect(refused).toEqual([expect.objectContaining({ status: 408 })]);
});

test.each([
  { requestTimeoutS: 1, headersTimeoutS: 10, sent: 'headers', head: '' },
  { requestTimeoutS: 1, headersTimeoutS: 1, sent: 'a body', head: 'Content-Length: 100\r\n\r\n' },
])('a request whose $sent takes longer than $requestTimeoutS s is given up', async ({ sent: _, head, ...times }) => {
  const { dashboard, refused } = await limited(times);
  const { text, tookMs } = await new Promise<{ text: string; tookMs: number }>((resolve) => {
    const began = performance.now();
    let text = '';
    const socket = connect(dashboard.port, '127.0.0.1', () =>
      socket.write(`POST /api/log HTTP/1.1\r\nHost: localhost\r\nContent-Type: application/json\r\n${head}`),
    );
    // One byte now and then: it is the whole that counts, not silence.
    const dripping = setInterval(() => socket.write(head === '' ? 'X-' : '{'), 200);
    socket.setEncoding('utf8').on('data', (piece: string) => {
      text += piece;
    });
    socket.on('error', () => socket.destroy());
    socket.on('close', () => {
      clearInterval(dripping);
      resolve({ text, tookMs: performance.now() - began });
    });
  });
  expect(text).toMatch(/^HTTP\/1\.1 408 /);
  expect(tookMs, 'not before its time').toBeGreaterThan(1000);
  expect(refused).toEqual([expect.objectContaining({ status: 408 })]);
});

test('connections beyond so many are dropped', async () => {
  const { dashboard } = await limited({ maxConnections: 10 });
  const open = () =>
    new Promise<{ ended: Promise<void>; destroy: () => void }>((resolve) => {
      const socket = connect(dashboard.port, '127.0.0.1');
      const ended = new Promise<void>((done) => socket.on('close', () => done()));
      socket.on('error', () => socket.destroy());
      socket.on('connect', () => resolve({ ended, destroy: () => socket.destroy() }));
      socket.resume();
    });
  const held = [];
  for (let count = 0; count < 10; count += 1) held.push(await open());
  const next = await open();
  await next.ended;
  for (const { destroy } of held) destroy();
});

test('refusals beyond thirty a minute are counted, not told', async () => {
  const { get, refused } = await limited({});
  for (let count = 0; count < 40; count += 1) await get('/nothing');
  expect(refused).toHaveLength(30);
});

test.each([
  [{ from: '2026-03-01T00:00:00Z', to: '2026-03-11T00:00:00Z' }, true],
  [{ from: '2026-03-01T00:00:00Z', to: '2026-03-11T00:00:00.001Z' }, false],
  [{ from: '2026-03-01T23:59:59Z' }, true],
  [{ from: '2026-03-01T23:59:58Z' }, false],
  [{ to: '2026-03-11T00:00:00Z' }, true],
  [{ from: 'yesterday' }, true],
  [{ from: 7, to: 9 }, true],
  [undefined, true],
])('a span of at most ten days may ask %j: %s', (query, may) => {
  const ask = () => refuseLongSpan(query, 10, Date.UTC(2026, 2, 11, 23, 59, 59));
  if (may) ask();
  else expect(ask).toThrow('at most 10 may be asked for at once');
});

test('a query for too long a span is refused as a query', async () => {
  const { get } = await limited({ maxQueryDays: 10 });
  const { body } = await get('/api/journal?from=2026-01-01T00:00:00Z&to=2026-03-01T00:00:00Z');
  expect(body).toMatchObject({ status: 400, code: 'QUERY_INVALID' });
});
