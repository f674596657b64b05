import { afterEach, beforeEach, expect, test, vi } from 'vitest';
import { exportReadings } from '../../../collector/export-readings.ts';
import type { ClockReport } from '../../../collector/intake/clock-report.ts';
import { openStore } from '../../../collector/store/index.ts';
import { CollectorUnderTest, NOW } from './collector-under-test.ts';

const GUN = 'airlines/hall-2/gun-01';
const HOUR = 3_600_000;
const EVERY = Number.MAX_SAFE_INTEGER;

let hall: CollectorUnderTest;
let reports: ClockReport[];
beforeEach(async () => {
  hall = new CollectorUnderTest();
  await hall.start();
  reports = [];
  hall.collector.on('clock', (list) => reports.push(...list));
});
afterEach(() => hall.end());

/** Publishes readings of a clock, one pack a step of the receiver's clock. */
async function publish(
  packs: number,
  stepMs: number,
  time: (index: number) => number,
  topic = GUN,
  from = 0,
): Promise<void> {
  const client = await hall.client();
  for (let i = 0; i < packs; i++) {
    hall.now = NOW + (i + from) * stepMs;
    const pack = [{ n: 'conveying/pressure', t: time(i) / 1000, v: 1 + i / 100 }];
    await client.publishAsync(topic, JSON.stringify(pack), { qos: 1 });
  }
  await client.endAsync();
}
const times = (): number[] => [...hall.collector.store.readings.frames('gun-01', 0, EVERY).times];

test('readings two hours ahead are kept with both times, and exported with the corrected one', async () => {
  await publish(8, 1000, (i) => NOW + 2 * HOUR + 1000 * i);
  const expected = Array.from({ length: 8 }, (_, i) => NOW + 1000 * i);
  expect(times()).toEqual(expected);
  expect(hall.collector.store.clocks.list()).toEqual([
    {
      station: 'gun-01',
      offsetMs: 2 * HOUR,
      from: NOW,
      to: NOW + 7000,
      readings: 8,
      firstReceivedAt: NOW + 4000,
      lastReceivedAt: NOW + 7000,
      open: true,
    },
  ]);
  // The first ones came before the clock was known: they lie apart as they came, too.
  expect(hall.collector.store.quarantine.list({ reason: 'ahead-of-clock' })).toHaveLength(5);
  expect(reports).toHaveLength(8);
  const written: string[] = [];
  await exportReadings({ dir: hall.dir, stdout: { write: (text) => void written.push(text) } });
  const csv = written.join('');
  expect(csv).toContain(`${new Date(NOW).toISOString()},gun-01,1`);
  expect(csv).not.toContain(new Date(NOW + 2 * HOUR).toISOString());
});

test('the correction outlives a restart, and ends when the clock is right', async () => {
  await publish(6, 1000, (i) => NOW + HOUR + 1000 * i);
  await hall.restart();
  await publish(2, 1000, (i) => NOW + HOUR + 6000 + 1000 * i);
  expect(times()).toHaveLength(8);
  await publish(1, 0, () => NOW + 20_000);
  expect(hall.collector.store.clocks.current().size).toBe(0);
  expect(times().at(-1)).toBe(NOW + 20_000);
  expect(hall.collector.store.clocks.list()).toMatchObject([{ readings: 8, open: false }]);
});

test.each([
  { clock: 'that says 1970 as seconds since then', start: 1_200_000 },
  { clock: 'that says 1999', start: Date.parse('1999-12-31T10:00:00Z') },
])('readings of a clock $clock are kept when they came', async ({ start }) => {
  await publish(8, 1000, (i) => start + 1000 * i);
  expect(times()).toEqual(Array.from({ length: 8 }, (_, i) => NOW + 1000 * i));
  expect(reports.every(({ claimedTime }) => claimedTime < Date.parse('2000-01-01'))).toBe(true);
});

test('a clock that began at 1970 a moment ago is known after half a minute, and through the time from which it says so itself', async () => {
  // RFC 8428 takes small times for seconds from now: until it is known the clock is ahead by what it has run.
  await publish(40, 10_000, (i) => 4000 + 10_000 * i);
  const known = times().filter((time) => time >= NOW + 30_000);
  const expected = Array.from({ length: 37 }, (_, i) => NOW + 10_000 * (i + 3));
  expect(known.filter((time) => expected.includes(time))).toEqual(expected);
  expect(times()).toHaveLength(40);
  expect(times().at(-1)).toBe(NOW + 390_000);
  expect(reports).toHaveLength(37);
  expect(reports.every(({ claimedTime }) => claimedTime < Date.parse('2000-01-01'))).toBe(true);
});

test('a pack of a clock that began at 1970 and passes five minutes within it is taken whole', async () => {
  await publish(28, 10_000, (i) => 4000 + 10_000 * i);
  const client = await hall.client();
  hall.now = NOW + 310_000;
  const burst = Array.from({ length: 20 }, (_, i) => ({ n: 'conveying/pressure', t: 295 + i, v: 1 + i / 100 }));
  await client.publishAsync(GUN, JSON.stringify(burst), { qos: 1 });
  await client.endAsync();
  expect(times().slice(-20)).toEqual(Array.from({ length: 20 }, (_, i) => NOW + 291_000 + 1000 * i));
});

test('packs of small times that do not run as the clock does are of the time from now that they say', async () => {
  await publish(12, 10_000, (i) => 4000 + 7000 * (i % 3));
  const said = Array.from({ length: 12 }, (_, i) => NOW + 10_000 * i + 4000 + 7000 * (i % 3));
  expect(times()).toEqual(said.sort((a, b) => a - b));
  expect(reports).toEqual([]);
});

test('a clock that is behind from the first day is noticed by its fresh packs, which all get their times, and told of', async () => {
  await publish(5, 10_000, (i) => NOW - 3 * HOUR + 10_000 * i);
  // Nobody knows yet: they are read as they came, and nothing is found in them.
  expect(times()).toEqual(Array.from({ length: 5 }, (_, i) => NOW - 3 * HOUR + 10_000 * i));
  const analysed = openStore(hall.dir, { settledOnly: true });
  expect(analysed.readings.stations()).toEqual([]);
  await publish(15, 10_000, (i) => NOW - 3 * HOUR + 10_000 * (i + 5), GUN, 5);
  expect(times()).toEqual(Array.from({ length: 20 }, (_, i) => NOW + 10_000 * i));
  expect([...analysed.readings.frames('gun-01', 0, EVERY).times]).toEqual(times());
  analysed.close();
  expect(reports).toHaveLength(14);
  expect(reports[0]).toMatchObject({ count: 7 });
  expect(hall.collector.store.clocks.list()).toMatchObject([{ readings: 20, from: NOW, offsetMs: -3 * HOUR }]);
  expect(hall.collector.store.clocks.current().get('gun-01')).toBe(-3 * HOUR);
});

test('packs of a clock that is behind get their times also where the service ended while they waited', async () => {
  await publish(3, 10_000, (i) => NOW - 3 * HOUR + 10_000 * i);
  await hall.restart();
  // Still nobody knows, however long the restart took.
  hall.now = NOW + 25_000;
  expect(hall.collector.store.stats().tailBatches).toBe(0);
  expect(times()).toEqual(Array.from({ length: 3 }, (_, i) => NOW - 3 * HOUR + 10_000 * i));
  await publish(7, 10_000, (i) => NOW - 3 * HOUR + 10_000 * (i + 3), GUN, 3);
  expect(times()).toEqual(Array.from({ length: 10 }, (_, i) => NOW + 10_000 * i));
  expect(hall.collector.store.clocks.list()).toMatchObject([{ readings: 10, from: NOW, offsetMs: -3 * HOUR }]);
  expect(hall.collector.store.waitingPacks()).toEqual([]);
});

test('packs that wait for a clock and to which none is added are stored readings, also after a restart', async () => {
  await publish(2, 5000, (i) => NOW - 3 * HOUR + 5000 * i);
  expect(hall.collector.store.stats().tailBatches).toBe(0);
  hall.now = NOW + 100_000;
  await vi.waitFor(() => expect(hall.collector.store.stats().tailBatches).toBe(1), { timeout: 20_000 });
  await publish(1, 0, () => NOW - 6 * HOUR, 'airlines/hall-2/gun-02');
  await hall.restart();
  // From the start on it is waited once more.
  expect(hall.collector.store.waitingPacks()).toMatchObject([{ pack: { station: 'gun-02' }, offsetMs: 0 }]);
  hall.now += 70_000;
  await vi.waitFor(() => expect(hall.collector.store.stats().tailBatches).toBe(2), { timeout: 20_000 });
  expect(times()).toEqual([NOW - 3 * HOUR, NOW - 3 * HOUR + 5000]);
  expect([...hall.collector.store.readings.frames('gun-02', 0, EVERY).times]).toEqual([NOW - 6 * HOUR]);
  expect(reports).toEqual([]);
});

test('a week of stored readings that arrives at once says nothing of a clock', async () => {
  await publish(60, 1500, (i) => NOW - 168 * HOUR + i * 2 * HOUR);
  expect(times()).toEqual(Array.from({ length: 60 }, (_, i) => NOW - 168 * HOUR + i * 2 * HOUR));
  expect(reports).toEqual([]);
  expect(hall.collector.store.clocks.list()).toEqual([]);
});
