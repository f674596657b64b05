import { connect } from 'node:net';
import { expect, onTestFinished, test } from 'vitest';
import { Wall } from '../../../dashboard/server/wall-model.ts';
import { NOON } from '../hall-guns.ts';
import { manualClock } from '../manual-clock.ts';
import { type OpenHall, openHall } from '../open-hall.ts';

interface Listener {
  /** The next event of the stream, waited for. */
  next(): Promise<{ name: string; data: unknown }>;
  readonly headers: Headers;
  readonly ended: Promise<void>;
}

/** Reads a stream as the WHATWG standard says: fields by line, an event at an empty line. */
async function listen(url: string): Promise<Listener> {
  const stop = new AbortController();
  onTestFinished(() => stop.abort());
  const answer = await fetch(`${url}/api/events`, { signal: stop.signal });
  const events: { name: string; data: unknown }[] = [];
  let wake = (): void => undefined;
  const ended = (async () => {
    let text = '';
    const decoder = new TextDecoder();
    for await (const bytes of answer.body as unknown as AsyncIterable<Uint8Array>) {
      text += decoder.decode(bytes, { stream: true });
      for (let end = text.indexOf('\n\n'); end >= 0; end = text.indexOf('\n\n')) {
        const fields = Object.fromEntries(
          text
            .slice(0, end)
            .split('\n')
            .map((line) => line.split(/: (.*)/s, 2)),
        );
        text = text.slice(end + 2);
        if (fields.data) events.push({ name: fields.event, data: JSON.parse(fields.data) });
      }
      wake();
    }
  })().catch((error: unknown) => {
    if (!stop.signal.aborted) throw error;
  });
  return {
    headers: answer.headers,
    ended,
    async next() {
      while (events.length === 0)
        await new Promise<void>((resolve) => {
          wake = resolve;
        });
      return events.shift() as { name: string; data: unknown };
    },
  };
}

async function openWithClock(
  options: { eventClients?: number } = {},
): Promise<OpenHall & { clock: ReturnType<typeof manualClock> }> {
  const clock = manualClock(NOON);
  return { ...(await openHall({ clock, ...options })), clock };
}

test('a page gets the whole wall at once, and its stream is neither cached nor changed on the way', async () => {
  const { url } = await openWithClock();
  const stream = await listen(url);
  const { name, data } = await stream.next();
  expect(name).toBe('wall');
  expect(Wall.parse(data).guns).toHaveLength(8);
  expect(stream.headers.get('Content-Type')).toMatch(/^text\/event-stream/);
  expect(stream.headers.get('Cache-Control')).toContain('no-transform');
  expect(stream.headers.has('Content-Encoding')).toBe(false);
});

test('a heartbeat with the service’s clock comes every 3 s', async () => {
  const { url, clock } = await openWithClock();
  const stream = await listen(url);
  await stream.next();
  clock.advance(3000);
  expect(await stream.next()).toEqual({ name: 'heartbeat', data: { now: NOON + 3000 } });
  clock.advance(3000);
  expect(await stream.next()).toEqual({ name: 'heartbeat', data: { now: NOON + 6000 } });
});

test('a fresh reading is sent at once when it was quiet', async () => {
  const { url, clock, read } = await openWithClock();
  const stream = await listen(url);
  await stream.next();
  clock.advance(700);
  read('gun-04');
  clock.advance(0);
  const { name, data } = await stream.next();
  expect(name).toBe('wall');
  expect(Wall.parse(data).guns.find(({ id }) => id === 'gun-04')?.newest).toBe(NOON + 700);
});

test('many changes become at most two events a second, the last of them included', async () => {
  const { url, clock, read } = await openWithClock();
  const stream = await listen(url);
  await stream.next();
  let last = 0;
  for (let count = 0; count < 100; count += 1) {
    clock.advance(10);
    read('gun-01');
    last = clock.now();
  }
  clock.advance(500);
  // 100 changes within a second, then quiet: one event at once, one after 500 ms, one with the rest.
  const seen: number[] = [];
  for (let count = 0; count < 3; count += 1) seen.push(Wall.parse((await stream.next()).data).guns[0]?.newest ?? 0);
  expect(seen.at(-1)).toBe(last);
  clock.advance(1500);
  expect((await stream.next()).name).toBe('heartbeat');
});

test('no more streams are opened than allowed, and one that closes makes room', async () => {
  const { url, get } = await openWithClock({ eventClients: 2 });
  const first = new AbortController();
  await fetch(`${url}/api/events`, { signal: first.signal });
  await listen(url);
  const refused = await get('/api/events');
  expect(refused.body).toMatchObject({ status: 429, code: 'TOO_MANY' });
  first.abort();
  let status = 429;
  while (status === 429) {
    const stop = new AbortController();
    const answer = await fetch(`${url}/api/events`, { signal: stop.signal });
    status = answer.status;
    stop.abort();
  }
  expect(status).toBe(200);
});

test('a page that does not read is dropped and does not hold up the others', async () => {
  const { url, clock, dashboard, read, get } = await openWithClock();
  const deaf = connect(dashboard.port, '127.0.0.1');
  deaf.on('error', () => undefined);
  onTestFinished(() => {
    deaf.destroy();
  });
  deaf.write(`GET /api/events HTTP/1.1\r\nHost: 127.0.0.1:${dashboard.port}\r\n\r\n`);
  await new Promise((resolve) => deaf.once('data', resolve));
  deaf.pause();
  const stream = await listen(url);
  await stream.next();
  let dropped = false;
  for (let count = 0; count < 5000 && !dropped; count += 1) {
    clock.advance(500);
    read('gun-01');
    clock.advance(0);
    await stream.next();
    if (count % 50 === 0) dropped = ((await get('/metrics')).body as string).includes('event_streams_dropped 1');
  }
  expect(dropped).toBe(true);
});

test('stopping ends the streams and forgets the sources', async () => {
  const { url, dashboard, listeners } = await openWithClock();
  expect(listeners()).toBe(1);
  const stream = await listen(url);
  await stream.next();
  await dashboard.stop();
  await dashboard.stop();
  await stream.ended;
  expect(listeners()).toBe(0);
});
