import type { Exchange } from './exchange.ts';
import { away, PUBREC, PUBREL, published, QOS1, QOS2, RETAIN, subscribed } from './exchange.ts';
import { packet, publishPacket } from './raw-client.ts';
import { answerPacket, filtersPacket, joined } from './wire-client.ts';

/** Will flag, will QoS 1 and clean session. */
const MORTAL = 0x0e;

/** How connections end, and what outlives them. Statement numbers: MQTT 3.1.1, OASIS Standard, appendix B. */
export const ENDS: readonly Exchange[] = [
  {
    name: 'a will is published when the client closes the connection without DISCONNECT [MQTT-3.1.2-8]',
    run: async (port) => {
      const listener = await subscribed(port, 'l', [['w/a', 1]]);
      const { client } = await joined(port, { id: 'fin', flags: MORTAL, will: { topic: 'w/a', message: 'fin' } });
      client.socket.end();
      return listener.take(1);
    },
    expected: ['PUBLISH w/a=fin q1 #1'],
  },
  {
    name: 'a will of no bytes takes what is retained away [MQTT-3.3.1-10]',
    run: async (port) => {
      await published(port, publishPacket('w/b', 'kept', 1, QOS1 | RETAIN));
      const listener = await subscribed(port, 'l', [['w/b', 1]]);
      const { client } = await joined(port, { id: 'm', flags: MORTAL | 0x20, will: { topic: 'w/b', message: '' } });
      await client.cut();
      const heard = await listener.take(2);
      const late = await joined(port, { id: 'late' });
      return [...heard, ...(await late.client.send(filtersPacket([['w/b', 1]])).untilPong())];
    },
    expected: ['PUBLISH w/b=kept q1 #1 retained', 'PUBLISH w/b= q1 #2', 'SUBACK #1 1'],
  },
  {
    name: 'a will of QoS 2 goes to subscribers with the QoS granted [MQTT-3.1.2-14]',
    run: async (port) => {
      const [two, one] = [await subscribed(port, 'two', [['w/c', 2]]), await subscribed(port, 'one', [['w/c', 1]])];
      const { client } = await joined(port, { id: 'm', flags: 0x16, will: { topic: 'w/c', message: 'x' } });
      await client.cut();
      return [...(await two.take(1)), ...(await one.take(1))];
    },
    expected: ['PUBLISH w/c=x q2 #1', 'PUBLISH w/c=x q1 #1'],
  },
  {
    name: 'DISCONNECT with reserved flags is a fault, and the will is published [MQTT-3.14.1-1] [MQTT-3.1.2-8]',
    run: async (port) => {
      const listener = await subscribed(port, 'l', [['w/d', 1]]);
      const { client } = await joined(port, { id: 'm', flags: MORTAL, will: { topic: 'w/d', message: 'x' } });
      client.send(packet(0xe1));
      return [...(await client.take(1)), ...(await listener.take(1))];
    },
    expected: ['closed', 'PUBLISH w/d=x q1 #1'],
  },
  {
    name: 'nothing behind DISCONNECT is looked at, and the server ends the connection [MQTT-3.14.4-2]',
    run: async (port) => {
      const listener = await subscribed(port, 'l', [['w/e', 1]]);
      const { client } = await joined(port, { id: 'm', flags: MORTAL, will: { topic: 'w/e', message: 'never' } });
      client.send(packet(0xe0), publishPacket('w/e', 'too late', 1, QOS1), Buffer.of(0xf0, 0));
      const end = await client.take(1);
      await published(port, publishPacket('w/e', 'end', 1, QOS1));
      return [...end, ...(await listener.untilPong())];
    },
    expected: ['closed', 'PUBLISH w/e=end q1 #1'],
  },
  {
    name: 'nothing behind a refused CONNECT is looked at [MQTT-3.1.4-5], and session present is 0 with it [MQTT-3.2.2-4]',
    run: async (port) => {
      const listener = await subscribed(port, 'l', [['w/f', 1]]);
      const { client, connack } = await joined(port, { id: '', flags: 0 });
      client.send(publishPacket('w/f', 'never', 1, QOS1));
      const end = await client.take(1);
      await published(port, publishPacket('w/f', 'end', 1, QOS1));
      return [connack, ...end, ...(await listener.untilPong())];
    },
    expected: ['CONNACK 2', 'closed', 'PUBLISH w/f=end q1 #1'],
  },
  {
    name: 'a session away keeps its subscriptions with their QoS, and what UNSUBSCRIBE took stays away [MQTT-3.1.2-4]',
    run: async (port) => {
      const client = await subscribed(
        port,
        's',
        [
          ['s/a', 2],
          ['s/b', 0],
          ['s/c', 1],
        ],
        0,
      );
      await client.send(filtersPacket([['s/c', null]], 2)).untilPong();
      await client.leave();
      const back = await joined(port, { id: 's', ...away });
      await published(port, ...['s/a', 's/b', 's/c'].map((topic, index) => publishPacket(topic, 'x', index + 1, QOS1)));
      return [back.connack, ...(await back.client.untilPong())];
    },
    expected: ['CONNACK 0 present', 'PUBLISH s/a=x q1 #1', 'PUBLISH s/b=x q0'],
  },
  {
    name: 'for a session away overlapping subscriptions keep one message with the highest QoS [MQTT-3.3.5-1]',
    run: async (port) => {
      const client = await subscribed(
        port,
        's',
        [
          ['v/#', 1],
          ['v/+', 2],
          ['v/a', 0],
        ],
        0,
      );
      await client.leave();
      await published(port, publishPacket('v/a', 'x', 1, QOS2), answerPacket(PUBREL, 1));
      const back = await joined(port, { id: 's', ...away });
      return back.client.untilPong();
    },
    expected: ['PUBLISH v/a=x q2 #1'],
    otherwise: 'may also send one message for each subscription, section 3.3.5',
  },
  {
    name: 'QoS 1 and 2 that were not acknowledged come again in their order, PUBREL too, and then what was queued [MQTT-4.4.0-1] [MQTT-4.6.0-1]',
    run: async (port) => {
      const client = await subscribed(port, 's', [['y/#', 2]], 0);
      await published(
        port,
        publishPacket('y/a', '1', 1, QOS1),
        publishPacket('y/b', '2', 2, QOS2),
        publishPacket('y/c', '3', 3, QOS2),
        answerPacket(PUBREL, 2),
        answerPacket(PUBREL, 3),
      );
      await client.take(3);
      await client.send(answerPacket(PUBREC, 2)).untilPong();
      await client.cut();
      await published(port, publishPacket('y/d', '4', 1, QOS1));
      const back = await joined(port, { id: 's', ...away });
      return back.client.untilPong();
    },
    expected: ['PUBLISH y/a=1 q1 #1 dup', 'PUBREL #2', 'PUBLISH y/c=3 q2 #3 dup', 'PUBLISH y/d=4 q1 #4'],
    otherwise: 'publishes QoS 2 at PUBREL, so in another order',
  },
  {
    name: 'the reserved flags of each packet are looked at [MQTT-2.2.2-2]',
    run: async (port) => {
      const ends: string[] = [];
      const id = Buffer.of(0, 1);
      const filter = Buffer.from([0, 1, 0, 1, 97]);
      for (const bytes of [
        packet(0x41, id),
        packet(0x52, id),
        packet(0x60, id),
        packet(0x74, id),
        packet(0x80, filter, Buffer.of(0)),
        packet(0xa0, filter),
        packet(0xc1),
        packet(0xe2),
      ]) {
        const { client } = await joined(port, { id: 'flags' });
        ends.push(...(await client.send(bytes).take(1)));
      }
      return ends;
    },
    expected: Array(8).fill('closed'),
    otherwise: 'does not look at all of them',
  },
  {
    name: 'packet identifier 0 ends the connection in SUBSCRIBE, UNSUBSCRIBE and acknowledgements [MQTT-2.3.1-1]',
    run: async (port) => {
      const ends: string[] = [];
      for (const bytes of [filtersPacket([['a', 0]], 0), filtersPacket([['a', null]], 0)]) {
        const { client } = await joined(port, { id: 'zero' });
        ends.push(...(await client.send(bytes).take(1)));
      }
      return ends;
    },
    expected: ['closed', 'closed'],
  },
];
