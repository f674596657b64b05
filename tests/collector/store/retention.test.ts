import { expect, test } from 'vitest';
import { RUN_FIELDS, type RunField } from '../../../collector/contract/index.ts';
import { openStore } from '../../../collector/store/embedded.ts';
import type { RetentionRules } from '../../../collector/store/retention-rules.ts';
import { verifyStore } from '../../../collector/store/verify.ts';
import { startWriter } from '../../../collector/store/writer.ts';
import { tempDir } from './temp-dir.ts';

const DAY = 86_400_000;
const NOW = Date.parse('2026-06-30T12:00:00Z');
const FOREVER: RetentionRules = { rawDays: 0, thinnedDays: 0, runsDays: 0, thinnedMinutes: 10 };

/** Every 20 s for some days up to NOW: pressure, and a powder each day. */
function packs(days: number) {
  return Array.from({ length: days }, (_, day) => {
    const start = NOW - (days - day) * DAY;
    const times: number[] = [];
    const channels: number[] = [];
    const values: number[] = [];
    for (let i = 0; i < DAY / 20_000; i++) {
      times.push(start + 20_000 * i);
      channels.push(0);
      values.push(Math.round(15_000 + 3000 * Math.sin(i / 50) + ((i * 7919) % 100)) / 10_000);
    }
    times.push(start);
    channels.push(12);
    values.push(0);
    return { station: 'gun-01', times, channels, values, strings: [`p-${day}`], provenance: '' };
  });
}

async function storeOf(days: number): Promise<string> {
  const dir = tempDir();
  const writer = await startWriter(dir);
  for (const pack of packs(days)) await writer.commit({ packs: [pack] });
  await writer.settle();
  await writer.stop();
  return dir;
}

async function retain(dir: string, rules: Partial<RetentionRules>, now = NOW): Promise<void> {
  const writer = await startWriter(dir);
  await writer.retain({ ...FOREVER, ...rules }, now);
  await writer.stop();
}

test('thinned readings keep least, largest, mean and count of what was there, to the last digit', async () => {
  const dir = await storeOf(4);
  await retain(dir, { rawDays: 2 });
  const store = openStore(dir);
  const { rawFrom, frames, readings } = store.readings.thinnedAway('gun-01')!;
  // Only whole chunks go: what stays begins at most one of them before the limit.
  expect(rawFrom).toBeLessThanOrEqual(NOW - 2 * DAY);
  expect(rawFrom).toBeGreaterThan(NOW - 2 * DAY - 512 * 20_000);
  expect(store.readings.frames('gun-01', 0, rawFrom).times).toHaveLength(0);
  const thinned = store.readings.thinned('gun-01', 0, NOW, ['conveying/pressure']);
  const spans = new Map<number, number[]>();
  for (const pack of packs(4))
    for (const [i, time] of pack.times.entries())
      if (time < rawFrom && pack.channels[i] === 0) {
        const start = Math.floor(time / 600_000) * 600_000;
        spans.set(start, [...(spans.get(start) ?? []), pack.values[i]!]);
      }
  expect([...thinned.times]).toEqual([...spans.keys()]);
  const pressure = thinned.columns['conveying/pressure']!;
  for (const [row, values] of [...spans.values()].entries()) {
    expect(pressure.min[row]).toBe(Math.min(...values));
    expect(pressure.max[row]).toBe(Math.max(...values));
    expect(pressure.count[row]).toBe(values.length);
    expect(pressure.mean[row]).toBeCloseTo(values.reduce((a, b) => a + b) / values.length, 10);
  }
  // Counts are of all that ever came.
  const counts = store.readings.counts('gun-01');
  expect(counts).toMatchObject({ frames: 4 * 4320, readings: 4 * 4321 });
  expect(frames + store.readings.frames('gun-01', 0, NOW).times.length).toBe(counts.frames);
  expect(readings).toBe(frames + 2);
  const [verified] = verifyStore(dir).stations;
  expect(verified).toMatchObject({ frames: 4 * 4320, thinned: frames });
  const minutes = store.readings.minutes('gun-01', 0, NOW, ['conveying/pressure']);
  expect(minutes.columns['conveying/pressure']!.count.reduce((a, b) => a + b)).toBe(counts.frames);
  store.close();
  expect(verifyStore(dir).faults).toEqual([]);
});

test('late readings for a day that is thinned join its spans', async () => {
  const dir = await storeOf(3);
  await retain(dir, { rawDays: 1 });
  const time = NOW - 3 * DAY + 5000;
  const writer = await startWriter(dir);
  await writer.commit({
    packs: [{ station: 'gun-01', times: [time], channels: [0], values: [9], strings: [], provenance: '' }],
  });
  await writer.settle();
  // Longer spans from now on hold for the whole of such a day.
  await writer.retain({ ...FOREVER, rawDays: 0.5, thinnedMinutes: 30 }, NOW);
  await writer.stop();
  const store = openStore(dir);
  const { times, spanMs, columns } = store.readings.thinned('gun-01', 0, NOW);
  expect([times[0], spanMs[0]]).toEqual([NOW - 3 * DAY, 1_800_000]);
  expect(columns['conveying/pressure']?.max[0]).toBe(9);
  expect(columns['conveying/pressure']?.count[0]).toBe(91);
  store.close();
  expect(verifyStore(dir).faults).toEqual([]);
});

test('thinned readings and runs go by limits of their own, and nothing goes where none is set', async () => {
  const dir = await storeOf(4);
  const store = openStore(dir);
  const columns = Object.fromEntries(
    RUN_FIELDS.map((field) => [field, Float64Array.of(field === 'start' ? NOW - 4 * DAY : 0)]),
  ) as Record<RunField, Float64Array>;
  store.runs.replace('gun-01', 0, { gun: 'gun-01', length: 1, columns, powders: ['p'] });
  await retain(dir, {});
  expect(store.readings.thinnedAway('gun-01')).toBeNull();
  await retain(dir, { rawDays: 1, thinnedDays: 2 });
  expect(store.readings.thinned('gun-01', 0, NOW).times[0]).toBeGreaterThanOrEqual(NOW - 3 * DAY);
  expect(store.runs.load('gun-01').length).toBe(1);
  await retain(dir, { runsDays: 3 });
  expect(store.runs.load('gun-01').length).toBe(0);
  store.close();
});

test('a history that was brought in is not old by itself, however late it is', async () => {
  const dir = await storeOf(2);
  await retain(dir, { rawDays: 30 }, NOW + 1000 * DAY);
  const store = openStore(dir);
  expect(store.readings.thinnedAway('gun-01')).toBeNull();
  store.close();
});
