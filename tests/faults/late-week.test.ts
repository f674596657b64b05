import { afterEach, beforeEach, expect, test } from 'vitest';
import { CollectorUnderTest, NOW, pressures } from '../collector/intake/collector-under-test.ts';

// That findings come out as if on time is held in tests/analyzer/live/one-analyzer.test.ts, with the same intake of packs.

const WEEK_MS = 7 * 86_400_000;
const STEP_MS = 5_000;
const PACK_ROWS = 1_000;
const ROWS = WEEK_MS / STEP_MS;

const hall = new CollectorUnderTest();
beforeEach(async () => {
  await hall.start();
});
afterEach(() => hall.end());

const barOf = (row: number): number => (2000 + (row % 700)) / 1000;

test('a week of late data from one station arrives at once: all of it is kept, and live stations go on', async () => {
  const late = await hall.client({ clientId: 'node-late' });
  const live = await hall.client({ clientId: 'node-live' });
  const told = new Set<string>();
  hall.collector.on('committed', (stations) => {
    for (const { station, minTime } of stations) told.add(`${station} ${minTime < NOW - WEEK_MS / 2 ? 'late' : 'new'}`);
  });
  let done = false;
  const sendLate = async (): Promise<void> => {
    const sent: Promise<unknown>[] = [];
    for (let from = 0; from < ROWS; from += PACK_ROWS) {
      const rows = Array.from({ length: Math.min(PACK_ROWS, ROWS - from) }, (_, index): [number, number] => [
        NOW - WEEK_MS + (from + index) * STEP_MS,
        barOf(from + index),
      ]);
      sent.push(late.publishAsync('airlines/hall-2/gun-01', pressures(...rows), { qos: 1 }));
    }
    await Promise.all(sent);
    done = true;
  };
  let between = 0;
  let reports = 0;
  const sendLive = async (): Promise<void> => {
    for (; !done || reports < 20; reports++) {
      const pack = pressures([NOW - 60_000 + reports, 2.5]);
      await live.publishAsync('airlines/hall-2/gun-02', pack, { qos: 1 });
      if (!done) between++;
    }
  };
  await Promise.all([sendLate(), sendLive()]);

  const kept = hall.readings('gun-01', 'conveying/pressure');
  expect(kept).toHaveLength(ROWS);
  expect(kept.every(([time, bar], row) => time === NOW - WEEK_MS + row * STEP_MS && bar === barOf(row))).toBe(true);
  expect(hall.readings('gun-02', 'conveying/pressure')).toHaveLength(reports);
  // Live reports were acknowledged while the week was still coming in.
  expect(between).toBeGreaterThan(2);
  expect(hall.collector.store.quarantine.list({ limit: 10 })).toEqual([]);
  expect(told).toEqual(new Set(['gun-01 late', 'gun-01 new', 'gun-02 new']));
});
