import type { Exchange } from './exchange.ts';
import { DUP, PUBREL, published, QOS0, QOS1, QOS2, RETAIN, subscribed } from './exchange.ts';
import { connectPacket, packet, publishPacket } from './raw-client.ts';
import { answerPacket, filtersPacket, joined, WireClient } from './wire-client.ts';

/** Topics, texts, lengths, retained messages and packet identifiers. Statement numbers: MQTT 3.1.1, OASIS Standard, appendix B. */
export const RULES: readonly Exchange[] = [
  {
    name: '"#" stands for its parent too, "+" for exactly one level, an empty one too [MQTT-4.7.1-2] [MQTT-4.7.1-3]',
    run: async (port) => {
      const listener = await subscribed(port, 'l', [
        ['sport/player/#', 0],
        ['team/+', 0],
        ['+/+', 0],
      ]);
      await published(
        port,
        ...['sport', 'sport/player', 'sport/player/ranking/x', 'team', 'team/', 'team/a/b', '/finance', 'finance'].map(
          (topic) => publishPacket(topic, 'x', 0, QOS0),
        ),
      );
      return listener.untilPong();
    },
    expected: [
      'PUBLISH sport/player=x q0',
      'PUBLISH sport/player/ranking/x=x q0',
      'PUBLISH team/=x q0',
      'PUBLISH /finance=x q0',
    ],
    otherwise: 'may also send one message for each subscription, section 3.3.5',
  },
  {
    name: 'U+FEFF is a character like any other and never taken away [MQTT-1.5.3-3]; U+FFFF and control characters may come',
    run: async (port) => {
      const listener = await subscribed(port, 'l', [['\ufeffbom/+', 0]]);
      await published(
        port,
        publishPacket('\ufeffbom/\uffff', 'x', 0, QOS0),
        publishPacket('bom/a', 'x', 0, QOS0),
        publishPacket('\ufeffbom/\u0001', 'y', 0, QOS0),
      );
      return listener.untilPong();
    },
    expected: ['PUBLISH \ufeffbom/\uffff=x q0', 'PUBLISH \ufeffbom/\u0001=y q0'],
    otherwise: 'may end the connection for control characters and non-characters, section 1.5.3',
  },
  {
    name: 'a filter that is no UTF-8 ends the connection, also among good ones [MQTT-3.8.3-1]',
    run: async (port) => {
      const ends: string[] = [];
      for (const bad of [
        [0xed, 0xa0, 0x80],
        [0xed, 0xbf, 0xbf],
        [0xc0, 0x80],
        [0xff],
        [0x00],
        [0xf5, 0x80, 0x80, 0x80],
      ]) {
        const { client } = await joined(port, { id: 'bad' });
        const filters = Buffer.from([0, 1, 97, 1, 0, bad.length, ...bad, 1]);
        ends.push(...(await client.send(packet(0x82, Buffer.of(0, 1), filters)).take(1)));
      }
      return ends;
    },
    expected: Array(6).fill('closed'),
  },
  {
    name: 'packets may come byte by byte, and several at once',
    run: async (port) => {
      const client = new WireClient(port);
      client.socket.setNoDelay(true);
      const bytes = Buffer.concat([
        connectPacket({ id: 'drip' }),
        filtersPacket([['p/a', 1]]),
        publishPacket('p/a', 'x', 7, QOS1),
      ]);
      for (const byte of bytes) {
        client.socket.write(Buffer.of(byte));
        await new Promise((resolve) => setImmediate(resolve));
      }
      return client.take(4);
    },
    expected: ['CONNACK 0', 'SUBACK #1 1', 'PUBACK #7', 'PUBLISH p/a=x q1 #1'],
    otherwise: 'may pass on before it acknowledges',
  },
  {
    name: 'remaining lengths of one to three bytes are read and written [MQTT-2.2.3]',
    run: async (port) => {
      const listener = await subscribed(port, 'l', [['n/a', 0]]);
      const seen: string[] = [];
      for (const length of [0, 122, 123, 1000, 16_378, 16_379]) {
        await published(port, publishPacket('n/a', 'z'.repeat(length), 0, QOS0));
        for (const one of await listener.untilPong())
          seen.push(`${one.slice(0, 11)} ${one.length - 'PUBLISH n/a= q0'.length}`);
      }
      return seen;
    },
    expected: ['0', '122', '123', '1000', '16378', '16379'].map((length) => `PUBLISH n/a ${length}`),
  },
  {
    name: 'a message that is not retained leaves the retained one; a subscription brings it with its QoS or less, flagged [MQTT-3.3.1-8]',
    run: async (port) => {
      await published(
        port,
        publishPacket('k/a', 'kept', 1, QOS2 | RETAIN),
        answerPacket(PUBREL, 1),
        publishPacket('k/a', 'live', 2, QOS1),
      );
      const seen: string[] = [];
      for (const qos of [0, 1, 2]) {
        const { client } = await joined(port, { id: `q${qos}` });
        seen.push(...(await client.send(filtersPacket([['k/a', qos]])).untilPong()));
      }
      return seen;
    },
    expected: [
      'SUBACK #1 0',
      'PUBLISH k/a=kept q0 retained',
      'SUBACK #1 1',
      'PUBLISH k/a=kept q1 #1 retained',
      'SUBACK #1 2',
      'PUBLISH k/a=kept q2 #1 retained',
    ],
  },
  {
    name: 'a subscription with wildcards brings no retained message of a topic that begins with "$" [MQTT-4.7.2-1]',
    run: async (port) => {
      await published(
        port,
        publishPacket('$r/a', 'hidden', 1, QOS1 | RETAIN),
        publishPacket('r/a', 'shown', 2, QOS1 | RETAIN),
      );
      const { client } = await joined(port, { id: 'l' });
      return client.send(filtersPacket([['+/a', 0]])).untilPong();
    },
    expected: ['SUBACK #1 0', 'PUBLISH r/a=shown q0 retained'],
  },
  {
    name: 'DUP of what came in says nothing of what goes out [MQTT-3.3.1-3], nor does RETAIN to who was there [MQTT-3.3.1-9]',
    run: async (port) => {
      const listener = await subscribed(port, 'l', [['d/a', 1]]);
      await published(port, publishPacket('d/a', 'x', 1, QOS1 | DUP | RETAIN));
      return listener.untilPong();
    },
    expected: ['PUBLISH d/a=x q1 #1'],
  },
  {
    name: 'an identifier may be used again once acknowledged, and by QoS 1 beside QoS 2 of the other way [MQTT-2.3.1-3] [MQTT-2.3.1-4]',
    run: async (port) => {
      const { client } = await joined(port, { id: 'ids' });
      client.send(publishPacket('z/a', '1', 5, QOS1), publishPacket('z/a', '2', 5, QOS1));
      const first = await client.take(2);
      client.send(
        publishPacket('z/a', '3', 5, QOS2),
        answerPacket(PUBREL, 5),
        publishPacket('z/a', '4', 5, QOS2),
        answerPacket(PUBREL, 5),
      );
      return [...first, ...(await client.take(4))];
    },
    expected: ['PUBACK #5', 'PUBACK #5', 'PUBREC #5', 'PUBCOMP #5', 'PUBREC #5', 'PUBCOMP #5'],
  },
  {
    name: 'acknowledgements have the identifier of what they answer, the highest too [MQTT-2.3.1-6] [MQTT-2.3.1-7]',
    run: async (port) => {
      const { client } = await joined(port, { id: 'ids' });
      client.send(
        filtersPacket([['a', 0]], 65_535),
        filtersPacket([['a', null]], 65_534),
        publishPacket('b', 'x', 65_533, QOS1),
        publishPacket('b', 'x', 65_532, QOS2),
        answerPacket(PUBREL, 65_532),
        answerPacket(PUBREL, 12),
      );
      return client.untilPong();
    },
    expected: ['PUBACK #65533', 'SUBACK #65535 0', 'UNSUBACK #65534', 'PUBREC #65532', 'PUBCOMP #65532', 'PUBCOMP #12'],
    otherwise: 'writes acknowledgements of different kinds in another order',
  },
  {
    name: 'messages of one publisher come in their order, whatever their QoS, to each subscriber [MQTT-4.6.0-6]',
    run: async (port) => {
      const listener = await subscribed(port, 'l', [['o/a', 1]]);
      await published(
        port,
        ...Array.from({ length: 9 }, (_, n) => publishPacket('o/a', String(n), n + 1, n % 2 ? QOS1 : QOS0)),
      );
      return (await listener.untilPong()).map((one) => one.slice(0, 13));
    },
    expected: Array.from({ length: 9 }, (_, n) => `PUBLISH o/a=${n}`),
  },
  {
    name: 'client ids of 23 letters and digits, of one character, of other characters, are taken [MQTT-3.1.3-5]',
    run: async (port) => {
      const seen: string[] = [];
      for (const id of ['0123456789abcdefghijABC', 'z', 'Ärger 😀/#+'])
        for (const flags of [2, 0]) seen.push((await joined(port, { id, flags })).connack);
      return seen;
    },
    expected: Array(6).fill('CONNACK 0'),
  },
];
