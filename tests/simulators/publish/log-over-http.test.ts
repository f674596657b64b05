import { once } from 'node:events';
import { createServer, type Server } from 'node:http';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import type { LogEntry } from '../../../collector/contract/log-entry.ts';
import { LogOverHttp } from '../../../simulators/publish/log-over-http.ts';
import { ServiceDoor } from '../../../simulators/publish/service-door.ts';

const ENTRY: LogEntry = {
  time: Date.parse('2026-03-02T09:10:00Z'),
  gun: 'gun-02',
  part: 'pump-seals',
  action: 'replaced',
  found: 'failed',
  note: '',
};

/** A service that keeps entries and gives them back, newest first, as the real one does. */
let server: Server;
let url = '';
let refuse = false;
const kept: Record<string, unknown>[] = [];
const keys: (string | string[] | undefined)[] = [];

beforeEach(async () => {
  kept.length = 0;
  keys.length = 0;
  refuse = false;
  server = createServer(async (request, response) => {
    if (refuse) {
      response.writeHead(422).end('{"title":"no"}');
      return;
    }
    if (request.method === 'POST') {
      let body = '';
      for await (const piece of request) body += piece;
      keys.push(request.headers['idempotency-key']);
      kept.unshift({ id: `e${kept.length}`, ...(JSON.parse(body) as object), recordedAt: '2026-03-02T10:00:00.000Z' });
      response.writeHead(201).end(JSON.stringify(kept[0]));
    } else response.end(JSON.stringify(kept));
  });
  server.listen(0, '127.0.0.1');
  await once(server, 'listening');
  url = `http://127.0.0.1:${(server.address() as { port: number }).port}`;
});
afterEach(() => {
  server.close();
  server.closeAllConnections();
});

describe('the log of a service, over HTTP', () => {
  it('takes entries with a key of their own, time as ISO 8601', async () => {
    const log = new LogOverHttp(new ServiceDoor(url, new AbortController().signal));
    await log.tell(ENTRY);
    expect(kept[0]).toMatchObject({ time: '2026-03-02T09:10:00.000Z', gun: 'gun-02', part: 'pump-seals' });
    expect(keys).toEqual([`demo:${ENTRY.time}:gun-02:pump-seals:replaced`]);
  });

  it('gives back what others wrote, once, and not what it wrote or found there', async () => {
    const log = new LogOverHttp(new ServiceDoor(url, new AbortController().signal));
    const other = new LogOverHttp(new ServiceDoor(url, new AbortController().signal));
    await other.tell({ ...ENTRY, note: 'before' });
    expect(await log.news()).toEqual([]);
    await log.tell({ ...ENTRY, note: 'own' });
    await other.tell({ ...ENTRY, note: 'later' });
    expect(await log.news()).toMatchObject([{ ...ENTRY, note: 'later' }]);
    expect(await log.news()).toEqual([]);
  });

  it('says plainly that it was refused', async () => {
    refuse = true;
    const log = new LogOverHttp(new ServiceDoor(url, new AbortController().signal));
    await expect(log.tell(ENTRY)).rejects.toMatchObject({ code: 'INTERNAL', message: expect.stringContaining('422') });
    await expect(log.news()).rejects.toMatchObject({ code: 'INTERNAL' });
  });
});
