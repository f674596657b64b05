import { afterEach, expect, test } from 'vitest';
import { CollectorUnderTest, NOW } from './collector-under-test.ts';

const hall = new CollectorUnderTest();
afterEach(() => hall.end());

const record = (index: number, more: object = {}): object => ({
  n: 'conveying/pressure',
  u: 'bar',
  t: (NOW - 60_000 + index) / 1000,
  v: 2,
  ...more,
});

test('a pack is bounded in records, names and texts as the configuration says, on the bound and beyond it', async () => {
  hall.config = { broker: { port: 0 }, intake: { maxPackRecords: 3, maxNameCharacters: 40, maxTextCharacters: 5 } };
  await hall.start();
  const node = await hall.client();
  const send = (pack: object[]): Promise<unknown> =>
    node.publishAsync('airlines/hall-2/gun-01', JSON.stringify(pack), { qos: 1 });
  const named = (length: number): string => `${'x'.repeat(length - 'conveying/pressure'.length)}conveying/pressure`;
  await send([0, 1, 2].map((index) => record(index)));
  await send([10, 11, 12, 13].map((index) => record(index)));
  await send([record(20, { n: named(40) })]);
  await send([record(21, { n: named(41) })]);
  await send([{ n: 'powder/id', t: NOW / 1000, vs: 'p-123' }]);
  await send([{ n: 'powder/id', t: NOW / 1000 + 1, vs: 'p-1234' }]);

  const kept = hall.readings('gun-01', 'conveying/pressure').filter(([, bar]) => bar === 2);
  expect(kept.map(([time]) => time - NOW + 60_000)).toEqual([0, 1, 2, 20]);
  const refusals = hall.collector.store.quarantine.list({ limit: 10 });
  expect(refusals.map(({ reason, detail }) => `${reason}: ${detail}`).sort()).toEqual([
    'not-senml: record 1: found a name of 41 characters, expected at most 40',
    'too-large: found 4 records, expected at most 3',
    expect.stringMatching(/^unusable-name: .*found "p-1234", expected 1 to 5 characters/),
  ]);
});
