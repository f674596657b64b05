import { once } from 'node:events';
import { createServer, type IncomingMessage, type ServerResponse } from 'node:http';
import { expect, onTestFinished, test } from 'vitest';
import { ServiceDoor } from '../../../simulators/publish/service-door.ts';

/** A door to a service that answers each request by the next of `answers`, and what it was asked. */
async function doorTo(answers: ((response: ServerResponse, request: IncomingMessage) => void)[]) {
  const asked: string[] = [];
  const server = createServer((request, response) => {
    asked.push(`${request.method} ${request.url}`);
    request.resume().on('end', () => answers.shift()!(response, request));
  });
  server.listen(0, '127.0.0.1');
  await once(server, 'listening');
  onTestFinished(() => {
    server.close();
    server.closeAllConnections();
  });
  const stop = new AbortController();
  const { port } = server.address() as { port: number };
  return { door: new ServiceDoor(`http://127.0.0.1:${port}`, stop.signal), asked, stop };
}

const lost = (response: ServerResponse): unknown => response.socket!.destroy();
const answer =
  (status: number, text = 'null') =>
  (response: ServerResponse): unknown =>
    response.writeHead(status).end(text);

test('a connection that is lost is no end: it asks again', async () => {
  const { door, asked } = await doorTo([lost, answer(200, '[1]')]);
  expect(await door.ask('/api/jobs')).toEqual([1]);
  expect(asked).toEqual(['GET /api/jobs', 'GET /api/jobs']);
});

test('what has a version and was taken, though its answer was lost, is not told as a conflict', async () => {
  const { door } = await doorTo([lost, answer(409, '{}')]);
  expect(await door.tell('PUT', '/api/calendar', { body: { version: 0 } })).toBeNull();
});

test.each([
  ['a conflict at the first try', [answer(409, '{"title":"changed"}')], undefined],
  ['a conflict of what has a key', [lost, answer(409, '{"title":"short"}')], 'k'],
  ['a refusal', [answer(422, '{"title":"no"}')], undefined],
])('%s is told', async (_, answers, key) => {
  const { door } = await doorTo(answers);
  const told = door.tell('POST', '/api/stock/moves', { body: {}, ...(key === undefined ? {} : { key }) });
  await expect(told).rejects.toMatchObject({
    code: 'INTERNAL',
    message: expect.stringMatching(/answered 4(09|22) to/),
  });
});

test('a stop ends the tries', async () => {
  const { door, stop, asked } = await doorTo([
    (response) => {
      stop.abort();
      lost(response);
    },
  ]);
  await expect(door.ask('/api/jobs')).rejects.toThrow();
  expect(asked).toHaveLength(1);
});

test('a service that is asked too much is asked again when it says', async () => {
  const tooMuch = (response: ServerResponse): unknown => response.writeHead(429, { 'Retry-After': '0.01' }).end('{}');
  const { door, asked } = await doorTo([tooMuch, tooMuch, answer(201, '2')]);
  expect(await door.tell('POST', '/api/log', { body: {}, key: 'k' })).toBe(2);
  expect(asked).toHaveLength(3);
});
