import { readdirSync, statSync } from 'node:fs';
import { join } from 'node:path';
import { afterAll, beforeAll, expect, test } from 'vitest';
import { byRaised, compactStates } from '../../../analyzer/index.ts';
import { sitePipeline } from '../../../analyzer/pipeline.ts';
import {
  CHANNEL_NAMES,
  type Channel,
  type Finding,
  type Frames,
  type Pack,
  Plant,
} from '../../../collector/contract/index.ts';
import { CHANNEL_STEPS } from '../../../collector/contract/resolution.ts';
import { compactStore, openStore, type Store, startWriter } from '../../../collector/index.ts';
import { buildHall, plantOf, runHall, scenarioOf } from '../../../simulators/index.ts';
import { liveOver, openHall, packsOf, workOff } from './live-hall.ts';

// The promise: at most 12 bytes on disk for each frame of eight channels, whatever else a service has kept beside them.
const MOST_BYTES_A_FRAME = 12;

const CHANNELS: readonly Channel[] = [
  'trigger',
  'conveying/pressure',
  'conveying/flow',
  'conveying/ripple',
  'supplementary/flow',
  'fluidizing/pressure',
  'supply/pressure',
  'powder/output',
];
const WORKDAYS = 4;
const hall = buildHall(scenarioOf('mixed'), 3);
const plant = Plant.parse(plantOf(hall));

let folder: Awaited<ReturnType<typeof openHall>>;
let frames = 0;
let before: { readonly readings: unknown; readonly runs: unknown; readonly refused: unknown; readonly kept: Finding[] };

/** Eight channels of a station, as sensors with a resolution give them. */
function cut(all: Frames): Frames {
  const columns = Object.fromEntries(
    CHANNELS.filter((name) => all.columns[name] !== undefined).map((name) => {
      const steps = CHANNEL_STEPS[CHANNEL_NAMES.indexOf(name)]!;
      return [name, all.columns[name]!.map((value) => Math.round(value * steps) / steps)];
    }),
  );
  return { ...all, columns, strings: [] };
}

/** A working week, in the order of time; air points, which have other channels, left out. */
function* week(): Generator<Pack[]> {
  let days = 0;
  for (const { sent } of runHall(hall)) {
    if (sent.length === 0) continue;
    if (days++ === WORKDAYS) return;
    const guns = sent.filter(({ frames: { station } }) => plant.guns.some(({ id }) => id === station));
    const packs = guns.flatMap((one) => packsOf(cut(one.frames), 30));
    yield packs.sort((left, right) => left.times[0]! - right.times[0]!);
  }
}

const refusal = (time: number) => ({
  receivedAt: time,
  topic: 'airlines/hall-2/gun-01',
  reason: 'out-of-range',
  detail: `record 3: found ${time % 97} bar, expected -0.2 to 16`,
  payload: Buffer.from(
    JSON.stringify(CHANNELS.map((n, i) => ({ n, t: time / 1000, v: ((time / 7 + i) % 1000) / 100 }))),
  ),
});

function contents(store: Store) {
  const guns = plant.guns.map(({ id }) => id);
  return {
    readings: guns.map((id) => [store.readings.frames(id, 0, Infinity), store.readings.minutes(id, 0, Infinity)]),
    runs: guns.map((id) => store.runs.load(id)),
    refused: store.quarantine.list(),
    kept: store.findings.list().map(({ finding }) => finding),
  };
}

/** What an analyzer finds that goes on from the store as it is. */
function found(store: Store): Finding[] {
  const { analyzer, clock } = liveOver(store, plant, sitePipeline);
  return [...workOff(analyzer, clock)].sort(byRaised);
}

beforeAll(async () => {
  folder = await openHall();
  const { writer, store } = folder;
  const { analyzer, clock } = liveOver(store, plant, sitePipeline);
  for (const packs of week()) {
    for (let at = 0; at < packs.length; at += 200) {
      const some = packs.slice(at, at + 200);
      const refusals = some.filter((_, index) => index % 10 === 0).map(({ times }) => refusal(times[0]!));
      analyzer.committed((await writer.commit({ packs: some, refusals })).stations);
      workOff(analyzer, clock);
      analyzer.flush();
    }
  }
  before = contents(store);
  for (const { id } of plant.guns) frames += store.readings.counts(id).frames;
  store.close();
  await writer.stop();
  compactStore(folder.dir, compactStates);
}, 120_000);
afterAll(() => folder.close());

test('a compacted folder has at most 12 bytes for each frame of eight channels, all files counted', () => {
  const bytes = readdirSync(folder.dir).reduce((sum, name) => sum + statSync(join(folder.dir, name)).size, 0);
  expect(frames).toBeGreaterThan(50_000);
  expect(bytes / frames).toBeLessThanOrEqual(MOST_BYTES_A_FRAME);
});

test('what is read from a compacted folder is what was read before', () => {
  const store = openStore(folder.dir);
  expect(contents(store)).toEqual(before);
  store.close();
});

test('the analysis goes on from a compacted folder with the findings it had', () => {
  const store = openStore(folder.dir);
  expect(found(store)).toEqual(before.kept.toSorted(byRaised));
  store.close();
});

test('readings that come late after compaction give what an analysis from the start gives', async () => {
  const writer = await startWriter(folder.dir);
  const store = openStore(folder.dir);
  const { analyzer, clock } = liveOver(store, plant, sitePipeline);
  workOff(analyzer, clock);
  const gun = plant.guns[0]!.id;
  const { firstTime, lastTime } = store.readings.stations().find(({ station }) => station === gun)!;
  const times = Array.from({ length: 200 }, (_, index) => Math.round((firstTime + lastTime) / 2) + 333 + 2000 * index);
  const flow = CHANNEL_NAMES.indexOf('conveying/flow');
  const late = {
    station: gun,
    times,
    channels: times.map(() => flow),
    values: times.map(() => 3),
    strings: [],
    provenance: '',
  };
  analyzer.committed((await writer.commit({ packs: [late] })).stations);
  const afterwards = [...workOff(analyzer, clock)].sort(byRaised);
  for (const key of store.states.keys('live')) store.states.delete(key);
  expect(afterwards).toEqual(found(store));
  store.close();
  await writer.stop();
});
