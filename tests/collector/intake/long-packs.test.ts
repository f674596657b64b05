import { afterEach, beforeEach, expect, test } from 'vitest';
import { LONG_BYTES } from '../../../collector/broker/delivery.ts';
import { PACK_LIMITS } from '../../../collector/decode/decoded.ts';
import { senmlDecoder } from '../../../collector/decode/senml.ts';
import { LongPacks } from '../../../collector/intake/long-packs.ts';
import { connectPacket, publishPacket, RawClient } from '../broker/raw-client.ts';
import { CollectorUnderTest, NOW, PLANT, pressures } from './collector-under-test.ts';

const GUN = 'airlines/hall-2/gun-01';
const ROWS = 5000;
const long = Buffer.from(
  pressures(
    ...Array.from({ length: ROWS }, (_, row): [number, number] => [NOW - 1000 * (ROWS - row), 1 + (row % 50) / 100]),
  ),
);

let under: CollectorUnderTest;
beforeEach(async () => {
  under = new CollectorUnderTest();
  await under.start();
});
afterEach(() => under.end());

test('a long pack is taken whole, and no acknowledgement overtakes it', async () => {
  expect(long.length).toBeGreaterThan(LONG_BYTES);
  const client = new RawClient(under.collector.port);
  client.send(
    connectPacket(),
    publishPacket(GUN, pressures([NOW - 1, 2]), 1),
    publishPacket(GUN, long, 2),
    publishPacket(GUN, pressures([NOW, 3]), 3),
  );
  expect(await client.bytes(16)).toBe('20020000400200014002000240020003');
  const stored = under.readings('gun-01', 'conveying/pressure');
  expect(stored).toHaveLength(ROWS + 2);
  expect(stored.slice(-2)).toEqual([
    [NOW - 1, 2],
    [NOW, 3],
  ]);
  client.socket.destroy();
});

test('a long pack that is none is refused with its reason', async () => {
  const client = await under.client();
  await client.publishAsync(GUN, Buffer.concat([long, Buffer.from('x')]), { qos: 1 });
  const [entry] = under.collector.store.quarantine.list();
  expect(entry).toMatchObject({ reason: 'not-json', payloadBytes: long.length + 1 });
});

test('a service that stops still takes the long pack that it is decoding', async () => {
  const client = await under.client({ clientId: 'node', clean: false });
  const done = client.publishAsync(GUN, long, { qos: 1 });
  await client.publishAsync('elsewhere', 'x', { qos: 0 });
  await done;
  await under.restart();
  expect(under.readings('gun-01', 'conveying/pressure')).toHaveLength(ROWS);
});

test('beside the main thread comes out what the decoder makes of it', async () => {
  const packs = new LongPacks({ plant: PLANT, limits: PACK_LIMITS });
  const decode = senmlDecoder(PLANT);
  for (const payload of [
    long,
    Buffer.from('[{}'),
    Buffer.from(pressures([NOW + 3_600_000, 1], [NOW, 99_999], [NOW, 2])),
  ])
    expect(await packs.decode(payload, 'gun-01', NOW)).toEqual(decode(payload, 'gun-01', NOW));
  await packs.stop();
});

test('whoever waits for a thread that ends is told', async () => {
  const packs = new LongPacks({ plant: PLANT, limits: PACK_LIMITS });
  const waiting = packs.decode(long, 'gun-01', NOW);
  await Promise.all([expect(waiting).rejects.toThrow('a long pack could not be decoded'), packs.stop()]);
});
