import { afterEach, expect, test } from 'vitest';
import type { Broker } from '../../../collector/broker/broker.ts';
import type { ConnectPacket } from '../../../collector/broker/connect-packet.ts';
import { Sessions } from '../../../collector/broker/sessions.ts';
import { GatedSink, gatedBroker, TEST_LIMITS } from './gated-broker.ts';
import { connectPacket, RawClient } from './raw-client.ts';

let broker: Broker | null = null;
afterEach(async () => {
  await broker?.stop();
  broker = null;
});

const kept: ConnectPacket = {
  protocolLevel: 4,
  clientId: 'andon',
  cleanSession: false,
  keepAliveS: 0,
  will: null,
  userName: null,
  password: null,
};

// `sweep` is called once a second.
test.each([60, 3600])('a session whose client stays away is kept for %i s, and no longer', (sessionExpiryS) => {
  const sessions = new Sessions({ ...TEST_LIMITS, sessionExpiryS });
  const heard: Buffer[] = [];
  const link = {
    send: (packet: Buffer) => void heard.push(packet),
    sendIfRoom: (packet: Buffer) => heard.push(packet) > 0,
    replaced: () => undefined,
  };
  const come = () => sessions.open(kept, '', link);

  const first = come();
  if (!first.ok) throw new Error(first.fault);
  sessions.subscribe(first.session, 'a/b', 1);
  for (let second = 0; second < 2 * sessionExpiryS; second++) sessions.sweep();
  expect(sessions.kept, 'a client that is there is not away').toBe(1);

  sessions.left(first.session, link);
  sessions.publish('a/b', Buffer.from('x'), 1, false, false);
  for (let second = 0; second < sessionExpiryS; second++) sessions.sweep();
  const again = come();
  expect(again).toMatchObject({ ok: true, present: true });
  first.session.resume();
  expect(heard.map((packet) => packet.toString('latin1'))).toEqual([expect.stringContaining('a/b')]);

  // What it was away before does not count.
  sessions.left(first.session, link);
  for (let second = 0; second < sessionExpiryS; second++) sessions.sweep();
  expect(sessions.kept).toBe(1);
  sessions.sweep();
  expect(sessions.kept).toBe(0);
  expect(sessions.silent, 'its subscriptions are gone').toBe(true);
  expect(come()).toMatchObject({ ok: true, present: false });
});

test('a client is told that its session is there, and after the expiry that there is none', async () => {
  broker = await gatedBroker(new GatedSink(), { sessionExpiryS: 1 });
  const come = async (): Promise<string> => {
    const client = new RawClient(broker!.port);
    client.send(connectPacket({ id: 'andon', flags: 0 }), Buffer.of(0xe0, 0));
    return client.untilEnd();
  };
  expect(await come()).toBe('20020000');
  expect(await come()).toBe('20020100');
  await expect.poll(() => broker!.counts().sessions, { timeout: 10_000, interval: 200 }).toBe(0);
  expect(await come()).toBe('20020000');
});
