import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, expect, test } from 'vitest';
import { analyzeSite } from '../../../analyzer/analyze-site.ts';
import { finish, loadHistory, study } from '../../../analyzer/index.ts';
import { sitePipeline } from '../../../analyzer/pipeline.ts';
import { historySteps } from '../../../analyzer/study/load-history.ts';
import { Plant, Settings } from '../../../collector/contract/index.ts';
import { openStore } from '../../../collector/index.ts';
import { SimulatedReadings } from '../../../evaluation/simulated-readings.ts';
import { plantOf, runHall } from '../../../simulators/index.ts';
import { storeRuns } from '../../bench/stored-runs.ts';
import { smallHall } from '../../simulators/small-hall.ts';

const settings = Settings.parse({});
const dir = mkdtempSync(join(tmpdir(), 'driftline-load-'));
afterAll(() => rmSync(dir, { recursive: true }));

const hall = smallHall({ weeks: 2 }, 5);
const sent = new SimulatedReadings();
for (const day of runHall(hall)) for (const reports of day.sent) sent.add(reports);
const plant = Plant.parse(plantOf(hall));
const log = hall.guns
  .flatMap(({ maintenance }) => maintenance.log.map((entry) => ({ ...entry, time: Math.round(entry.time) })))
  .sort((left, right) => left.time - right.time);
const { tracks } = analyzeSite(sitePipeline, { plant, settings, log, readings: sent.table() });
const tables = [...tracks.values()].map(({ runs }) => runs).filter(({ length }) => length > 0);

test('a history tells on the way how much of it is loaded, and can be left half way', async () => {
  await storeRuns(dir, { plant, tables, log, runs: 0 });
  const store = openStore(dir);
  const left = historySteps(store, plant);
  const half: number[] = [];
  for (const share of left) {
    half.push(share);
    if (share > 0.5) break;
  }
  expect(half.filter((share) => share < 0.4).length).toBeGreaterThanOrEqual(plant.guns.length);
  expect(left.next()).toEqual({ done: true, value: undefined });
  const shares: number[] = [];
  const steps = historySteps(store, plant);
  for (let step = steps.next(); ; step = steps.next()) {
    if (!step.done) {
      shares.push(step.value);
      continue;
    }
    const { firstTime, upTo } = step.value;
    const span = { from: firstTime, to: upTo + 1 };
    expect(finish(study(step.value, settings, span)).findings).toEqual(
      finish(study(loadHistory(store, plant), settings, span)).findings,
    );
    break;
  }
  store.close();
  expect(shares).toEqual([...shares].sort((left, right) => left - right));
  expect(shares.slice(0, half.length)).toEqual(half);
  expect(shares.at(-1)).toBeLessThanOrEqual(1);
  expect(shares.filter((share) => share > 0.5).length).toBeGreaterThan(2);
});
