import { once } from 'node:events';
import { createServer, type Server } from 'node:net';
import { Aedes } from 'aedes';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { simulateToMqtt } from '../../../simulators/index.ts';
import { publishHall } from '../../../simulators/publish/publish-hall.ts';
import { runHall } from '../../../simulators/simulation.ts';
import { smallHall } from '../small-hall.ts';

interface Message {
  readonly topic: string;
  readonly text: string;
  readonly qos: number;
  readonly retain: boolean;
}

let broker: Aedes;
let server: Server;
let url = '';
const messages: Message[] = [];

beforeEach(async () => {
  messages.length = 0;
  broker = await Aedes.createBroker();
  broker.authorizePublish = (_client, { topic, payload, qos, retain }, done) => {
    messages.push({ topic, text: payload.toString(), qos, retain });
    done(null);
  };
  server = createServer(broker.handle);
  server.listen(0, '127.0.0.1');
  await once(server, 'listening');
  url = `mqtt://127.0.0.1:${(server.address() as { port: number }).port}`;
});
afterEach(async () => {
  await new Promise<void>((resolve) => broker.close(resolve));
  server.close();
});

const reports = (): Message[] => messages.filter(({ topic }) => !topic.endsWith('/online'));

describe('a hall over MQTT', () => {
  it('sends all of its past at QoS 1, says online and offline, and ends with its days', async () => {
    const hall = smallHall({ weeks: 1 });
    let readings = 0;
    await publishHall({
      hall,
      days: hall.work.days,
      url,
      root: 'airlines',
      now: () => hall.work.span.end + 86_400_000,
      speed: Number.POSITIVE_INFINITY,
      signal: new AbortController().signal,
      onProgress: (progress) => {
        readings = progress.readings;
      },
    });
    let all = 0;
    for (const { sent } of runHall(smallHall({ weeks: 1 }))) for (const { rows } of sent) all += rows.length;
    expect(readings).toBe(all);
    const site = hall.setting.siteId;
    const topics = new Set(reports().map(({ topic }) => topic));
    expect(topics).toEqual(new Set(['gun-01', 'gun-02', 'dryer-1'].map((id) => `airlines/${site}/${id}`)));
    expect(messages.every(({ qos }) => qos === 1)).toBe(true);
    const online = messages.filter(({ topic }) => topic === `airlines/${site}/gun-01/online`);
    expect(online.map(({ text, retain }) => [text, retain])).toEqual([
      ['true', true],
      ['false', true],
    ]);
    const records = reports().reduce((sum, { text }) => sum + (JSON.parse(text) as unknown[]).length, 0);
    expect(records).toBeGreaterThan(3 * all);
  }, 60_000);

  it('sends what is live one report a pack and stops on the signal', async () => {
    const hall = smallHall({ weeks: 1 });
    const stop = new AbortController();
    // A clock that stands ten minutes into the work of the second day, and goes on by itself.
    const from = hall.work.days[1]!.shifts[0]!.start + 1_200_000;
    const begun = performance.now();
    let live = 0;
    await publishHall({
      hall,
      days: hall.work.days,
      url,
      root: 'plant',
      now: () => from + (performance.now() - begun) * 20,
      speed: Number.POSITIVE_INFINITY,
      signal: stop.signal,
      since: from - 60_000,
      onProgress: (progress) => {
        if (!progress.live) return;
        live = reports().filter(({ text }) => text.includes('"u":"bar"')).length;
        if (live >= 5) stop.abort();
      },
    });
    expect(live).toBeGreaterThanOrEqual(5);
    const times = reports().map(({ text }) => (JSON.parse(text) as { bt: number }[])[0]!.bt * 1000);
    expect(Math.min(...times)).toBeGreaterThan(from - 5 * 3_600_000);
  }, 60_000);

  it('has all of its nodes say farewell at once, so that a slow broker holds none of them up', async () => {
    const hall = smallHall({ weeks: 1 });
    const stop = new AbortController();
    const saying: (() => void)[] = [];
    let most = 0;
    broker.authorizePublish = (_client, { topic, payload }, done) => {
      if (!topic.endsWith('/online') || payload.toString() !== 'false') return done(null);
      // Nobody is answered before all have come.
      most = saying.push(() => done(null));
      if (most === 3) for (const answer of saying) answer();
    };
    await publishHall({
      hall,
      days: hall.work.days,
      url,
      root: 'airlines',
      now: () => hall.work.span.end,
      speed: Number.POSITIVE_INFINITY,
      signal: stop.signal,
      onProgress: () => stop.abort(),
    });
    // A node that gives up waiting hangs up, and its will comes as well.
    expect(most).toBe(3);
  }, 60_000);

  it('is refused with one clear error for a bad name, speed, address or broker', async () => {
    const base = { scenario: 'seals', seed: 1, url, signal: new AbortController().signal, now: () => 0 };
    await expect(simulateToMqtt({ ...base, scenario: 'none' })).rejects.toMatchObject({ code: 'USAGE' });
    await expect(simulateToMqtt({ ...base, speed: -1 })).rejects.toMatchObject({ code: 'USAGE' });
    await expect(simulateToMqtt({ ...base, url: 'http://127.0.0.1' })).rejects.toMatchObject({ code: 'USAGE' });
    await expect(
      simulateToMqtt({ ...base, url: 'mqtt://127.0.0.1:1', now: () => Date.parse('2026-03-02T10:00:00Z') }),
    ).rejects.toMatchObject({ code: 'PORT_UNUSABLE', message: expect.stringContaining('mqtt://127.0.0.1:1') });
  });
});
