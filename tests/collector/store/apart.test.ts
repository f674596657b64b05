import { expect, test } from 'vitest';
import { compactStore } from '../../../collector/store/compact.ts';
import { openStore } from '../../../collector/store/embedded.ts';
import { startWriter } from '../../../collector/store/writer.ts';
import { tempDir } from './temp-dir.ts';

const DAY = 86_400_000;
const NOW = Date.parse('2026-06-30T12:00:00Z');
const refusal = (reason: string, number: number, receivedAt = NOW) => ({
  receivedAt,
  topic: 'airlines/hall-2/gun-01',
  reason,
  detail: `number ${number}`,
  payload: Buffer.alloc(1000, number % 256),
});

test('readings ahead of the clock outlast a quarantine that overflows, packed or not', async () => {
  const dir = tempDir();
  const write = async (from: number, count: number): Promise<void> => {
    const writer = await startWriter(dir, { quarantineBytes: 50_000 });
    for (let i = from; i < from + count; i++)
      await writer.commit({ refusals: [refusal(i % 4 === 0 ? 'ahead-of-clock' : 'not-json', i)] });
    await writer.stop();
  };
  await write(0, 100);
  compactStore(dir);
  await write(100, 200);
  const store = openStore(dir);
  const apart = store.quarantine.list({ reason: 'ahead-of-clock' });
  expect(apart.map(({ detail }) => detail)).toEqual(Array.from({ length: 75 }, (_, i) => `number ${296 - 4 * i}`));
  const counts = store.quarantine.counts();
  expect(counts.find(({ reason }) => reason === 'ahead-of-clock')).toMatchObject({
    received: 75,
    kept: 75,
    dropped: 0,
  });
  const junk = counts.find(({ reason }) => reason === 'not-json')!;
  expect(junk.kept).toBeLessThan(50);
  expect(junk.kept + junk.dropped).toBe(225);
  const all = store.quarantine.list();
  expect(all).toHaveLength(75 + junk.kept);
  expect(all.map(({ id }) => id)).toEqual([...all.map(({ id }) => id)].sort((a, b) => b - a));
  expect(store.quarantine.list({ limit: 10 })).toEqual(all.slice(0, 10));
  expect(store.quarantine.list({ beforeId: all[9]!.id, limit: 10 })).toEqual(all.slice(10, 20));
  store.close();
});

test('they go with the raw readings of the time when they came', async () => {
  const dir = tempDir();
  const writer = await startWriter(dir);
  const reading = { station: 'gun-01', times: [NOW], channels: [0], values: [1], strings: [], provenance: '' };
  await writer.commit({
    refusals: [refusal('before-2000', 1, NOW - 3 * DAY), refusal('ahead-of-clock', 2)],
    packs: [reading],
  });
  await writer.settle();
  await writer.retain({ rawDays: 2, thinnedDays: 0, runsDays: 0, thinnedMinutes: 10 }, NOW);
  await writer.stop();
  const store = openStore(dir);
  expect(store.quarantine.list().map(({ reason }) => reason)).toEqual(['ahead-of-clock']);
  expect(store.quarantine.counts()).toContainEqual({ reason: 'before-2000', received: 1, kept: 0, dropped: 1 });
  store.close();
});
