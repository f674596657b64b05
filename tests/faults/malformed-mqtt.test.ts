import { setImmediate } from 'node:timers/promises';
import { setFlagsFromString } from 'node:v8';
import { runInNewContext } from 'node:vm';
import mqttPacket, { type Packet } from 'mqtt-packet';
import { uniformInt } from 'pure-rand/distribution/uniformInt';
import { xoroshiro128plus } from 'pure-rand/generator/xoroshiro128plus';
import { expect, test } from 'vitest';
import { openAccess } from '../../collector/broker/access.ts';
import type { Delivery, DeliverySink } from '../../collector/broker/delivery.ts';
import { Gate } from '../../collector/broker/gate.ts';
import { LoopSocket } from '../../collector/broker/loop-socket.ts';
import { OperationConfig } from '../../collector/config.ts';
import { Plant } from '../../collector/contract/index.ts';
import { senmlDecoder } from '../../collector/decode/senml.ts';
import { silentLog } from '../../collector/log.ts';
import { mutated } from './mutate.ts';

/** `TEST_MUTANTS=200000` for all of them. */
const MUTANTS = Number(process.env.TEST_MUTANTS ?? 40_000);
const SEED = 20_260_302;
const NOW = Date.UTC(2026, 2, 2, 9);
/** Memory that may be held more at the end than after the first fifth, bytes. Source: own choice: what compiled code takes. */
const SLACK_BYTES = 8 * 1024 * 1024;

const pack = JSON.stringify([
  { bn: 'gun-01/', bt: NOW / 1000, n: 'conveying/pressure', u: 'bar', v: 2.41 },
  { n: 'conveying/flow', u: 'm3/h', v: 3.2 },
  { n: 'powder/id', vs: 'p-white-07' },
  { n: 'trigger', vb: true },
]);
const subscriptions = [
  { topic: 'airlines/+/+/condition', qos: 1 as const },
  { topic: '#', qos: 2 as const },
];
const will = { topic: 'airlines/hall-2/gun-01/online', payload: Buffer.from('false'), qos: 1 as const, retain: true };
const connect = { cmd: 'connect', protocolId: 'MQTT', protocolVersion: 4, clientId: 'node-01', keepalive: 30 } as const;
const publish = { cmd: 'publish', topic: 'airlines/hall-2/gun-01', payload: pack, dup: false, retain: false } as const;

/** Real packets, made by another implementation. */
const PACKETS = (
  [
    { ...connect, clean: true },
    { ...connect, clean: false, will, username: 'gun-01', password: Buffer.from('secret') },
    { ...publish, qos: 0 },
    { ...publish, qos: 1, messageId: 7 },
    { ...publish, qos: 2, messageId: 8 },
    { ...publish, qos: 1, messageId: 9, topic: 'airlines/hall-2/gun-01/online', payload: 'true', retain: true },
    { ...publish, qos: 1, messageId: 10, topic: 'lamps/1', payload: '', retain: true },
    { cmd: 'subscribe', messageId: 11, subscriptions },
    { cmd: 'unsubscribe', messageId: 12, unsubscriptions: ['#', 'a/b'] },
    ...(['puback', 'pubrec', 'pubrel', 'pubcomp'] as const).map((cmd) => ({ cmd, messageId: 7 })),
    { cmd: 'pingreq' },
    { cmd: 'disconnect' },
  ] as Packet[]
).map((one) => mqttPacket.generate(one));
const CONNECT = PACKETS[0]!;
/** As many connections at a time, each its own client: they share turns, so all are there at once. */
const AT_ONCE = 500;
const CONNECTS = Array.from({ length: AT_ONCE }, (_, index) =>
  mqttPacket.generate({ ...connect, clientId: `node-${index}`, clean: true }),
);

/** Decodes what it is given, and settles it when asked to. */
class DecodingSink implements DeliverySink {
  readonly saturated = false;
  taken = 0;
  readonly #waiting: Delivery[] = [];
  readonly #decode = senmlDecoder(
    Plant.parse({ site: { id: 'hall-2', timezone: 'Europe/Vienna' }, guns: [{ id: 'gun-01' }] }),
  );

  take(delivery: Delivery): void {
    this.taken++;
    const decoded = this.#decode(delivery.payload, 'gun-01', NOW);
    if (!decoded.ok && decoded.detail === '') throw new Error('a refusal without a reason');
    this.#waiting.push(delivery);
  }

  settle(): void {
    for (const delivery of this.#waiting.splice(0)) delivery.origin.settled(delivery, true);
  }
}

function heapBytes(): number {
  setFlagsFromString('--expose-gc');
  (runInNewContext('gc') as () => void)();
  return process.memoryUsage().heapUsed;
}

test(`${MUTANTS} mutated packets neither stop nor hang the broker, each end has a reason, and memory stays flat`, {
  timeout: 600_000,
}, async () => {
  const sink = new DecodingSink();
  // No sweep fills up here what connecting and faults take.
  const limits = {
    ...OperationConfig.parse({}).broker,
    ...{ maxRetainedMessages: 100, maxSessions: AT_ONCE + 100 },
    ...{ maxConnectsPerSecond: 1_000_000, maxRefusedPerSecond: 1_000_000_000 },
  };
  const gate = new Gate({ root: 'airlines', claims: () => false, limits, sink, access: openAccess, log: silentLog });
  const reasons = new Set<string>();
  gate.closing = (_, why) => reasons.add(why);
  const random = xoroshiro128plus(SEED);
  const any = (): Buffer => PACKETS[uniformInt(random, 0, PACKETS.length - 1)]!;
  let early = 0;
  for (let sent = 0; sent < MUTANTS; ) {
    const sockets: LoopSocket[] = [];
    for (let more = Math.min(AT_ONCE, MUTANTS - sent); more > 0; more--, sent++) {
      const socket = new LoopSocket();
      sockets.push(socket);
      gate.accept(socket.socket);
      const packet = any();
      const bytes = mutated(packet, any(), random);
      socket.push(packet === CONNECT ? bytes : Buffer.concat([CONNECTS[more - 1]!, bytes]));
      socket.push(null);
    }
    await Promise.all(
      sockets.map((socket) => socket.closed || new Promise((resolve) => socket.once('close', resolve))),
    );
    // Streams alone never let the event loop turn, and turns are what connections share.
    await setImmediate();
    sink.settle();
    // Nobody is left behind, and time goes on for sessions.
    gate.sweep();
    expect(gate.connections).toBe(0);
    if (early === 0 && sent >= MUTANTS / 5) early = heapBytes();
  }
  expect([...reasons].filter((why) => why.trim() === '')).toEqual([]);
  // Every kind of fault has been met, and what was still well formed has been taken.
  expect(reasons.size).toBeGreaterThan(15);
  expect(sink.taken).toBeGreaterThan(MUTANTS / 100);
  expect(heapBytes() - early).toBeLessThan(SLACK_BYTES);
});
