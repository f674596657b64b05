import type { Exchange } from './exchange.ts';
import { PUBACK, PUBCOMP, published, QOS0, QOS1, QOS2, RETAIN, subscribed } from './exchange.ts';
import { publishPacket } from './raw-client.ts';
import { answerPacket, filtersPacket, joined } from './wire-client.ts';

/** Subscriptions, topics and retained messages. Statement numbers: MQTT 3.1.1, OASIS Standard, appendix B. */
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
    name: 'acknowledgements of identifiers that are not in use are ignored',
    run: async (port) => {
      const listener = await subscribed(port, 'l', [['i/a', 1]]);
      listener.send(answerPacket(PUBACK, 1), answerPacket(PUBACK, 999), answerPacket(PUBCOMP, 7));
      await published(port, publishPacket('i/a', 'x', 1, QOS1));
      return listener.untilPong();
    },
    expected: ['PUBLISH i/a=x q1 #1'],
    otherwise: 'may take an unasked PUBCOMP for a violation of the protocol',
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
