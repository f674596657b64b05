import type { Exchange } from './exchange.ts';
import {
  away,
  DUP,
  PUBACK,
  PUBCOMP,
  PUBREC,
  PUBREL,
  published,
  QOS0,
  QOS1,
  QOS2,
  RETAIN,
  subscribed,
} from './exchange.ts';
import { publishPacket } from './raw-client.ts';
import { answerPacket, filtersPacket, joined } from './wire-client.ts';

/** Sessions, handshakes and wills. Statement numbers: MQTT 3.1.1, OASIS Standard, appendix B. */
export const SESSIONS: readonly Exchange[] = [
  {
    name: 'a session that is away gets its messages in their order, with the QoS granted, QoS 0 not [MQTT-3.1.2-5]',
    run: async (port) => {
      const listener = await subscribed(port, 'w', [['q/+', 1]], 0);
      await listener.leave();
      const messages = [1, 2, 3].map((n) => publishPacket('q/a', String(n), n, n === 2 ? QOS2 : QOS1));
      await published(
        port,
        messages[0]!,
        publishPacket('q/a', 'lost', 0, QOS0),
        messages[1]!,
        answerPacket(PUBREL, 2),
        messages[2]!,
      );
      const back = await joined(port, { id: 'w', ...away });
      return [back.connack, ...(await back.client.untilPong())];
    },
    expected: ['CONNACK 0 present', 'PUBLISH q/a=1 q1 #1', 'PUBLISH q/a=2 q1 #2', 'PUBLISH q/a=3 q1 #3'],
  },
  {
    name: 'what was not acknowledged comes again with DUP and the same identifiers, in the same order [MQTT-4.4.0-1]',
    run: async (port) => {
      const listener = await subscribed(port, 'd', [['u/#', 2]], 0);
      await published(port, ...[1, 2, 3].map((n) => publishPacket('u/a', String(n), n, QOS1)));
      const first = await listener.untilPong();
      await listener.send(answerPacket(PUBACK, 2)).untilPong();
      await listener.cut();
      const back = await joined(port, { id: 'd', ...away });
      return [...first, back.connack, ...(await back.client.untilPong())];
    },
    expected: [
      'PUBLISH u/a=1 q1 #1',
      'PUBLISH u/a=2 q1 #2',
      'PUBLISH u/a=3 q1 #3',
      'CONNACK 0 present',
      'PUBLISH u/a=1 q1 #1 dup',
      'PUBLISH u/a=3 q1 #3 dup',
    ],
  },
  {
    name: 'a retained message that was not acknowledged comes again as it was, with DUP, and by a new subscription without [MQTT-3.3.1-1]',
    run: async (port) => {
      await published(port, publishPacket('rr/a', 'kept', 1, QOS1 | RETAIN));
      const first = await subscribed(port, 'rr', [['rr/a', 1]], 0);
      const seen = await first.take(1);
      first.socket.destroy();
      const { client } = await joined(port, { id: 'rr', ...away });
      return [...seen, ...(await client.send(filtersPacket([['rr/a', 1]], 2)).untilPong())];
    },
    expected: [
      'PUBLISH rr/a=kept q1 #1 retained',
      'PUBLISH rr/a=kept q1 #1 dup retained',
      'SUBACK #2 1',
      'PUBLISH rr/a=kept q1 #2 retained',
    ],
  },
  {
    name: 'nothing is sent again while the connection lasts [MQTT-4.4.0-1]',
    run: async (port) => {
      const listener = await subscribed(port, 'l', [['n/a', 1]]);
      await published(port, publishPacket('n/a', 'x', 1, QOS1));
      return [...(await listener.untilPong()), ...(await listener.untilPong())];
    },
    expected: ['PUBLISH n/a=x q1 #1'],
  },
  {
    name: 'QoS 2 to a subscriber: PUBREC brings PUBREL, after a break PUBREL comes again and PUBLISH does not [MQTT-4.3.3-1]',
    run: async (port) => {
      const listener = await subscribed(port, 'e', [['e/a', 2]], 0);
      await published(port, publishPacket('e/a', 'x', 1, QOS2), answerPacket(PUBREL, 1));
      const first = await listener.untilPong();
      first.push(...(await listener.send(answerPacket(PUBREC, 1)).untilPong()));
      await listener.cut();
      const back = await joined(port, { id: 'e', ...away });
      const again = await back.client.untilPong();
      await back.client.send(answerPacket(PUBCOMP, 1)).untilPong();
      await back.client.cut();
      const third = await joined(port, { id: 'e', ...away });
      return [...first, ...again, 'PUBCOMP sent', ...(await third.client.untilPong())];
    },
    expected: ['PUBLISH e/a=x q2 #1', 'PUBREL #1', 'PUBREL #1', 'PUBCOMP sent'],
  },
  {
    name: 'QoS 2 from a client: sent again before PUBREL it is acknowledged and not passed on twice, across connections [MQTT-4.3.3-2]',
    run: async (port) => {
      const listener = await subscribed(port, 'l', [['x/a', 2]]);
      const sender = await joined(port, { id: 's', ...away });
      const seen = await sender.client.send(publishPacket('x/a', 'once', 9, QOS2)).untilPong();
      await sender.client.cut();
      const back = await joined(port, { id: 's', ...away });
      seen.push(...(await back.client.send(publishPacket('x/a', 'once', 9, QOS2 | DUP)).untilPong()));
      seen.push(...(await back.client.send(answerPacket(PUBREL, 9), answerPacket(PUBREL, 9)).untilPong()));
      seen.push(
        ...(await back.client.send(publishPacket('x/a', 'next', 9, QOS2), answerPacket(PUBREL, 9)).untilPong()),
      );
      return [...seen, ...(await listener.untilPong())];
    },
    expected: [
      'PUBREC #9',
      'PUBREC #9',
      'PUBCOMP #9',
      'PUBCOMP #9',
      'PUBREC #9',
      'PUBCOMP #9',
      'PUBLISH x/a=once q2 #1',
      'PUBLISH x/a=next q2 #2',
    ],
  },
  {
    name: 'clean session 1 forgets the session of before: subscriptions, queue and QoS 2 [MQTT-3.1.2-6]',
    run: async (port) => {
      const listener = await subscribed(port, 'c', [['c/a', 1]], 0);
      await listener.leave();
      await published(port, publishPacket('c/a', 'missed', 1, QOS1));
      const clean = await joined(port, { id: 'c' });
      await published(port, publishPacket('c/a', 'missed too', 1, QOS1));
      const seen = [clean.connack, ...(await clean.client.untilPong())];
      await clean.client.leave();
      return [...seen, (await joined(port, { id: 'c', ...away })).connack];
    },
    expected: ['CONNACK 0', 'CONNACK 0'],
  },
  {
    name: 'a will is published when the connection breaks, and retained if it says so [MQTT-3.1.2-8] [MQTT-3.1.2-17]',
    run: async (port) => {
      const listener = await subscribed(port, 'l', [['m/a', 1]]);
      // Will flag, will QoS 1, will retain, clean session.
      const { client } = await joined(port, { id: 'mortal', flags: 0x2e, will: { topic: 'm/a', message: 'gone' } });
      await client.cut();
      const heard = await listener.take(1);
      const late = await joined(port, { id: 'late' });
      late.client.send(filtersPacket([['m/a', 1]]));
      return [...heard, ...(await late.client.untilPong())];
    },
    expected: ['PUBLISH m/a=gone q1 #1', 'SUBACK #1 1', 'PUBLISH m/a=gone q1 #1 retained'],
  },
  {
    name: 'a will is published when a packet breaks the standard, and when another takes the client id [MQTT-3.1.2-8]',
    run: async (port) => {
      const listener = await subscribed(port, 'l', [['f/+', 1]]);
      const faulty = await joined(port, { id: 'faulty', flags: 0x0e, will: { topic: 'f/1', message: 'fault' } });
      faulty.client.send(Buffer.of(0x60, 2, 0, 1));
      const heard = await listener.take(1);
      await joined(port, { id: 'twin', flags: 0x0e, will: { topic: 'f/2', message: 'taken over' } });
      await joined(port, { id: 'twin' });
      return [...heard, ...(await listener.take(1))];
    },
    expected: ['PUBLISH f/1=fault q1 #1', 'PUBLISH f/2=taken over q1 #2'],
  },
  {
    name: 'DISCONNECT forgets the will [MQTT-3.14.4-3]',
    run: async (port) => {
      const listener = await subscribed(port, 'l', [['b/a', 1]]);
      const polite = await joined(port, { id: 'polite', flags: 0x2e, will: { topic: 'b/a', message: 'never' } });
      await polite.client.leave();
      await published(port, publishPacket('b/a', 'end', 1, QOS1));
      return listener.untilPong();
    },
    expected: ['PUBLISH b/a=end q1 #1'],
  },
  {
    name: 'a subscription of a session that was taken over goes on at the newcomer [MQTT-3.1.4-2]',
    run: async (port) => {
      const first = await subscribed(port, 't', [['t/a', 1]], 0);
      const second = await joined(port, { id: 't', ...away });
      const end = await first.take(1);
      await published(port, publishPacket('t/a', 'x', 1, QOS1));
      return [...end, second.connack, ...(await second.client.untilPong())];
    },
    expected: ['closed', 'CONNACK 0 present', 'PUBLISH t/a=x q1 #1'],
  },
];
