import mqtt from 'mqtt';
import { afterEach, describe, expect, test } from 'vitest';
import type { Broker } from '../../../collector/broker/broker.ts';
import { GatedSink, gatedBroker } from './gated-broker.ts';
import { connectPacket, publishPacket, RawClient } from './raw-client.ts';

let broker: Broker;
const clients: mqtt.MqttClient[] = [];
const client = async (options: mqtt.IClientOptions = {}): Promise<mqtt.MqttClient> => {
  const one = await mqtt.connectAsync(`mqtt://127.0.0.1:${broker.port}`, { protocolVersion: 4, ...options });
  clients.push(one);
  return one;
};

afterEach(async () => {
  for (const one of clients.splice(0)) await one.endAsync(true);
  await broker.stop();
});

const CONNACK = '20020000';

describe('acknowledgement', () => {
  test('a PUBACK leaves only after the sink has settled the message', async () => {
    const sink = new GatedSink();
    broker = await gatedBroker(sink);
    const raw = new RawClient(broker.port);
    raw.send(connectPacket(), publishPacket('airlines/hall/gun-01', 'a', 7), Buffer.of(0xc0, 0));
    // PINGRESP comes back for the ping sent after the PUBLISH, and no PUBACK before it.
    expect(await raw.bytes(6)).toBe(`${CONNACK}d000`);
    await sink.reached(1);
    sink.settle();
    expect(await raw.bytes(10)).toBe(`${CONNACK}d00040020007`);
    raw.socket.destroy();
  });

  test('messages that one commit holds are acknowledged together and in their order', async () => {
    const sink = new GatedSink();
    broker = await gatedBroker(sink);
    const raw = new RawClient(broker.port);
    raw.send(connectPacket(), ...[3, 1, 2].map((id) => publishPacket(`airlines/hall/gun-0${id}`, 'x', id)));
    await sink.reached(3);
    sink.settle();
    expect(await raw.bytes(16)).toBe(`${CONNACK}400200034002000140020002`);
    raw.socket.destroy();
  });

  test('a message of another topic is not acknowledged ahead of readings that wait', async () => {
    const sink = new GatedSink();
    broker = await gatedBroker(sink);
    const raw = new RawClient(broker.port);
    raw.send(connectPacket(), publishPacket('airlines/hall/gun-01', 'x', 1), publishPacket('other/topic', 'x', 2));
    await sink.reached(1);
    sink.settle();
    expect(await raw.bytes(12)).toBe(`${CONNACK}4002000140020002`);
    raw.socket.destroy();
  });

  test('QoS 0 is handed over and not acknowledged', async () => {
    const sink = new GatedSink();
    broker = await gatedBroker(sink);
    const raw = new RawClient(broker.port);
    raw.send(connectPacket(), publishPacket('airlines/hall/gun-01', 'zero', 0, 0x30));
    await sink.reached(1);
    sink.settle();
    raw.send(Buffer.of(0xc0, 0));
    expect(await raw.bytes(6)).toBe(`${CONNACK}d000`);
    expect(sink.texts()).toEqual(['airlines/hall/gun-01 zero']);
    raw.socket.destroy();
  });

  test('PUBREC of QoS 2 waits for the sink as well', async () => {
    const sink = new GatedSink();
    broker = await gatedBroker(sink);
    const raw = new RawClient(broker.port);
    raw.send(connectPacket(), publishPacket('airlines/hall/gun-01', 'two', 5, 0x34), Buffer.of(0xc0, 0));
    await sink.reached(1);
    expect(await raw.bytes(6)).toBe(`${CONNACK}d000`);
    sink.settle();
    expect(await raw.bytes(10)).toBe(`${CONNACK}d00050020005`);
    raw.socket.destroy();
  });

  test('PUBRECs leave in the order of their messages, whatever waits for the sink [MQTT-4.6.0-3]', async () => {
    const sink = new GatedSink();
    broker = await gatedBroker(sink);
    const raw = new RawClient(broker.port);
    const reading = publishPacket('airlines/hall/gun-01', 'two', 5, 0x34);
    // Another topic, an acknowledgement of which needs nothing, and the first again.
    raw.send(connectPacket(), reading, publishPacket('elsewhere', 'x', 6, 0x34), reading, Buffer.of(0xc0, 0));
    await sink.reached(1);
    sink.settle();
    expect(await raw.bytes(18)).toBe(`${CONNACK}500200055002000650020005d000`);
    expect(sink.taken).toHaveLength(1);
    raw.socket.destroy();
  });

  test('a refused message of QoS 2 is acknowledged and reaches nobody', async () => {
    const sink = new GatedSink();
    sink.open = true;
    sink.accept = false;
    broker = await gatedBroker(sink);
    const listener = await client();
    const heard: string[] = [];
    listener.on('message', (topic) => heard.push(topic));
    await listener.subscribeAsync(['#', 'airlines/#']);
    const sender = await client();
    await sender.publishAsync('airlines/hall/gun-01/condition', 'forged', { qos: 2, retain: true });
    await sender.publishAsync('end', '', { qos: 2 });
    while (!heard.includes('end')) await new Promise((resolve) => listener.once('message', resolve));
    expect(heard).toEqual(['end']);
  });

  test('a connection stops being read once its messages in waiting reach the limit', async () => {
    const sink = new GatedSink();
    broker = await gatedBroker(sink, { maxWaitingMessages: 4 });
    const raw = new RawClient(broker.port);
    raw.send(
      connectPacket(),
      ...Array.from({ length: 9 }, (_, index) => publishPacket('airlines/hall/gun-01', 'x', index + 1)),
    );
    await sink.reached(4);
    await raw.bytes(4);
    expect(sink.taken).toHaveLength(4);
    sink.settle();
    await sink.reached(8);
    expect(sink.taken).toHaveLength(8);
    sink.settle();
    await sink.reached(9);
    sink.settle();
    expect((await raw.bytes(4 + 9 * 4)).slice(-8)).toBe('40020009');
    raw.socket.destroy();
  });

  test('while the sink is saturated nothing more is read, and all of it once there is room', async () => {
    const sink = new GatedSink();
    broker = await gatedBroker(sink);
    sink.saturated = true;
    const raw = new RawClient(broker.port);
    raw.send(
      connectPacket(),
      publishPacket('airlines/hall/gun-01', 'x', 1),
      publishPacket('airlines/hall/gun-01', 'y', 2),
    );
    expect(await raw.bytes(4)).toBe(CONNACK);
    expect(sink.taken).toEqual([]);
    sink.saturated = false;
    broker.resume();
    await sink.reached(2);
    sink.settle();
    expect(await raw.bytes(12)).toBe(`${CONNACK}4002000140020002`);
    raw.socket.destroy();
  });

  test('what was read before a stop is acknowledged before the connection ends', async () => {
    const sink = new GatedSink();
    broker = await gatedBroker(sink);
    const raw = new RawClient(broker.port);
    raw.send(connectPacket(), publishPacket('airlines/hall/gun-01', 'x', 1));
    await sink.reached(1);
    broker.quiesce();
    sink.settle();
    const stopped = broker.stop();
    expect(await raw.untilEnd()).toBe(`${CONNACK}40020001`);
    await stopped;
    await broker.stop();
  });
});
