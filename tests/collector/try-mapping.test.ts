import { expect, test } from 'vitest';
import { Plant } from '../../collector/contract/index.ts';
import { senmlDecoder } from '../../collector/decode/senml.ts';
import { resolveConfig } from '../../collector/read-config.ts';
import { openStore } from '../../collector/store/embedded.ts';
import { startWriter } from '../../collector/store/writer.ts';
import { tryMapping } from '../../collector/try-mapping.ts';
import { tempDir } from './store/temp-dir.ts';

const plant = Plant.parse({ site: { id: 'hall-2', timezone: 'UTC' }, guns: [{ id: 'gun-01' }] });
const RECEIVED = Date.parse('2026-05-04T06:00:00Z');
const mapping = {
  topic: 'gateway/#',
  station: 'gun-01',
  records: '$.samples[*]',
  time: { path: '$.t', as: 'unix-s' },
  channels: [{ path: '$.p', channel: 'conveying/pressure' }],
};
const trial = (topic: string, message: unknown) =>
  tryMapping({
    config: resolveConfig({ mappings: [mapping] }, { environment: {}, flags: {} }),
    plant,
    messages: [{ topic, payload: Buffer.from(JSON.stringify(message)) }],
    receivedAt: RECEIVED,
  });

test('of several readings of one channel and time the first is shown as kept, the others as dropped', () => {
  const t = RECEIVED / 1000 - 60;
  const tried = trial('gateway/1', {
    samples: [
      { t, p: 1.5 },
      { t, p: 1.6 },
      { t, p: 1.5 },
      { t: t + 1, p: 1.7 },
    ],
  });
  expect(tried.readings.map(({ value }) => value)).toEqual([1.5, 1.7]);
  expect(tried.repeats.map(({ value, kept }) => [value, kept])).toEqual([
    [1.6, 1.5],
    [1.5, 1.5],
  ]);
});

test('what is shown of a pack with repeats is what the store keeps of it', async () => {
  const [one, two] = [RECEIVED / 1000 - 60, RECEIVED / 1000 - 50];
  const pack = [
    { n: 'conveying/pressure', t: two, v: 1.9 },
    { n: 'conveying/pressure', t: one, v: 1.5 },
    { n: 'conveying/pressure', t: two, v: 1.4 },
    { n: 'conveying/pressure', t: one, v: 1.6 },
  ];
  const shown = trial('airlines/hall-2/gun-01', pack).readings;
  const decoded = senmlDecoder(plant)(Buffer.from(JSON.stringify(pack)), 'gun-01', RECEIVED);
  if (!decoded.ok) throw new Error(decoded.detail);
  const dir = tempDir();
  const writer = await startWriter(dir);
  await writer.commit({ packs: [decoded.pack] });
  const store = openStore(dir);
  const kept: number[] = [];
  for (const { columns } of store.readings.iterateFrames('gun-01', 0, Number.POSITIVE_INFINITY, ['conveying/pressure']))
    kept.push(...columns['conveying/pressure']!);
  store.close();
  await writer.stop();
  expect(kept).toEqual([1.5, 1.9]);
  expect(shown.map(({ value }) => value).toSorted()).toEqual(kept);
});
