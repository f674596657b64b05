import { publishPacket } from './raw-client.ts';
import { answerPacket, filtersPacket, joined, type WireClient } from './wire-client.ts';

/** What clients do to a broker, and what they get to see. Statement numbers: MQTT 3.1.1, OASIS Standard, appendix B. */
export interface Exchange {
  readonly name: string;
  run(port: number): Promise<string[]>;
  readonly expected: readonly string[];
  /** Why another broker that is no less conformant shows something else. */
  readonly otherwise?: string;
}

const [PUBACK, PUBREC, PUBREL, PUBCOMP] = [4, 5, 6, 7];
const QOS0 = 0x30;
const QOS1 = 0x32;
const QOS2 = 0x34;
const RETAIN = 1;
const DUP = 8;

const away = { flags: 0 };
const subscribed = async (
  port: number,
  id: string,
  filters: readonly (readonly [string, number])[],
  flags = 2,
): Promise<WireClient> => {
  const { client } = await joined(port, { id, flags });
  client.send(filtersPacket(filters));
  await client.take(1);
  return client;
};
/** Publishes from a client of its own and waits until the broker has them all. */
const published = async (port: number, ...messages: Buffer[]): Promise<void> => {
  const { client } = await joined(port, { id: 'sender' });
  await client.send(...messages).untilPong();
  await client.leave();
};

export const EXCHANGES: readonly Exchange[] = [
  {
    name: 'overlapping subscriptions: one message with the highest QoS of all that match [MQTT-3.3.5-1]',
    run: async (port) => {
      const listener = await subscribed(port, 'l', [
        ['o/a', 0],
        ['o/+', 2],
        ['o/#', 1],
      ]);
      await published(port, publishPacket('o/a', 'x', 1, QOS2));
      return listener.untilPong();
    },
    expected: ['PUBLISH o/a=x q2 #1'],
    otherwise: 'may also send one message for each subscription, section 3.3.5',
  },
  {
    name: 'a message comes with the lower of its QoS and the QoS granted, wildcards too [MQTT-3.8.4-6]',
    run: async (port) => {
      const listener = await subscribed(port, 'l', [
        ['d/+/0', 0],
        ['d/+/1', 1],
        ['d/+/2', 2],
      ]);
      const messages = [0, 1, 2].flatMap((granted) =>
        [QOS0, QOS1, QOS2].map((first, qos) =>
          publishPacket(`d/x/${granted}`, `q${qos}`, 1 + qos + 3 * granted, first),
        ),
      );
      await published(port, ...messages);
      return listener.untilPong();
    },
    expected: [
      'PUBLISH d/x/0=q0 q0',
      'PUBLISH d/x/0=q1 q0',
      'PUBLISH d/x/0=q2 q0',
      'PUBLISH d/x/1=q0 q0',
      'PUBLISH d/x/1=q1 q1 #1',
      'PUBLISH d/x/1=q2 q1 #2',
      'PUBLISH d/x/2=q0 q0',
      'PUBLISH d/x/2=q1 q1 #3',
      'PUBLISH d/x/2=q2 q2 #4',
    ],
    otherwise: 'publishes QoS 2 at PUBREL, so in another order',
  },
  {
    name: 'SUBACK has a code for each filter in their order, the same filter twice too [MQTT-3.8.4-5]',
    run: async (port) => {
      const { client } = await joined(port);
      client.send(
        filtersPacket(
          [
            ['a', 2],
            ['b', 0],
            ['a', 1],
          ],
          77,
        ),
      );
      return client.take(1);
    },
    expected: ['SUBACK #77 2 0 1'],
  },
  {
    name: 'an identical filter replaces the subscription and brings the retained message again [MQTT-3.8.4-3]',
    run: async (port) => {
      await published(port, publishPacket('r/a', 'kept', 1, QOS1 | RETAIN));
      const listener = await subscribed(port, 'l', [['r/a', 0]]);
      listener.send(filtersPacket([['r/a', 1]], 2));
      const before = await listener.untilPong();
      await published(port, publishPacket('r/a', 'live', 1, QOS1));
      return [...before, ...(await listener.untilPong())];
    },
    expected: [
      'PUBLISH r/a=kept q0 retained',
      'SUBACK #2 1',
      'PUBLISH r/a=kept q1 #1 retained',
      'PUBLISH r/a=live q1 #2',
    ],
  },
  {
    name: 'retained: the last one stays, with QoS 0 too, and an empty one takes it away and is passed on [MQTT-3.3.1-10]',
    run: async (port) => {
      const listener = await subscribed(port, 'l', [['k/#', 1]]);
      await published(
        port,
        publishPacket('k/a', '1', 1, QOS1 | RETAIN),
        publishPacket('k/a', '2', 0, QOS0 | RETAIN),
        publishPacket('k/b', '3', 2, QOS1 | RETAIN),
        publishPacket('k/b', '', 3, QOS1 | RETAIN),
      );
      const late = await joined(port, { id: 'late' });
      late.client.send(filtersPacket([['k/#', 2]]));
      return [...(await listener.untilPong()), ...(await late.client.untilPong())];
    },
    expected: [
      'PUBLISH k/a=1 q1 #1',
      'PUBLISH k/a=2 q0',
      'PUBLISH k/b=3 q1 #2',
      'PUBLISH k/b= q1 #3',
      'SUBACK #1 2',
      'PUBLISH k/a=2 q0 retained',
    ],
  },
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
        answerPacket(PUBREL!, 2),
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
      await listener.send(answerPacket(PUBACK!, 2)).untilPong();
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
      await published(port, publishPacket('e/a', 'x', 1, QOS2), answerPacket(PUBREL!, 1));
      const first = await listener.untilPong();
      first.push(...(await listener.send(answerPacket(PUBREC!, 1)).untilPong()));
      await listener.cut();
      const back = await joined(port, { id: 'e', ...away });
      const again = await back.client.untilPong();
      await back.client.send(answerPacket(PUBCOMP!, 1)).untilPong();
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
      seen.push(...(await back.client.send(answerPacket(PUBREL!, 9), answerPacket(PUBREL!, 9)).untilPong()));
      seen.push(
        ...(await back.client.send(publishPacket('x/a', 'next', 9, QOS2), answerPacket(PUBREL!, 9)).untilPong()),
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
    name: 'acknowledgements of identifiers that are not in use are ignored',
    run: async (port) => {
      const listener = await subscribed(port, 'l', [['i/a', 1]]);
      listener.send(answerPacket(PUBACK!, 1), answerPacket(PUBACK!, 999), answerPacket(PUBCOMP!, 7));
      await published(port, publishPacket('i/a', 'x', 1, QOS1));
      return listener.untilPong();
    },
    expected: ['PUBLISH i/a=x q1 #1'],
    otherwise: 'may take an unasked PUBCOMP for a violation of the protocol',
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
    name: 'wildcards in front match no topic that starts with "$" [MQTT-4.7.2-1]',
    run: async (port) => {
      const listener = await subscribed(port, 'l', [
        ['#', 1],
        ['+/y', 1],
        ['+/y/#', 1],
      ]);
      await published(port, publishPacket('$z/y', 'x', 1, QOS1), publishPacket('z/y', 'y', 2, QOS1));
      return listener.untilPong();
    },
    expected: ['PUBLISH z/y=y q1 #1'],
    otherwise: 'may also send one message for each subscription, section 3.3.5',
  },
  {
    name: 'UNSUBSCRIBE takes the filter that is equal character by character, and is always answered [MQTT-3.10.4-1]',
    run: async (port) => {
      const listener = await subscribed(port, 'l', [
        ['v/a', 1],
        ['v/b', 1],
      ]);
      listener.send(
        filtersPacket(
          [
            ['v/+', null],
            ['v/a', null],
            ['never', null],
          ],
          5,
        ),
      );
      await published(port, publishPacket('v/a', 'x', 1, QOS1), publishPacket('v/b', 'y', 2, QOS1));
      return listener.untilPong();
    },
    expected: ['UNSUBACK #5', 'PUBLISH v/b=y q1 #1'],
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
  {
    name: 'topics differ by case, by a slash in front and behind, and take spaces and any other text [MQTT-4.7.3-4]',
    run: async (port) => {
      const listener = await subscribed(port, 'l', [
        ['/s', 0],
        ['s/', 0],
        ['S', 0],
        ['a b/ü€😀', 0],
        ['+/+/w', 0],
      ]);
      await published(
        port,
        ...['s', '/s', 's/', 'S', 'a b/ü€😀', '//w', 'x//w'].map((topic) => publishPacket(topic, 'x', 0, QOS0)),
      );
      return listener.untilPong();
    },
    expected: [
      'PUBLISH /s=x q0',
      'PUBLISH s/=x q0',
      'PUBLISH S=x q0',
      'PUBLISH a b/ü€😀=x q0',
      'PUBLISH //w=x q0',
      'PUBLISH x//w=x q0',
    ],
  },
];
