import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import type { SiteContext, Track } from '../../analyzer/index.ts';
import type * as Pipeline from '../../analyzer/pipeline.ts';
import type * as CutRuns from '../../analyzer/runs/cut-runs.ts';
import type * as CutState from '../../analyzer/runs/cut-state.ts';
import type * as GrowingRuns from '../../analyzer/runs/growing-runs.ts';
import type * as SiteTracks from '../../analyzer/runs/site-tracks.ts';
import type * as Tracks from '../../analyzer/runs/track.ts';
import { CHANNEL_NAMES, type Pack, type Plant, Settings } from '../../collector/contract/index.ts';
import type * as Collector from '../../collector/index.ts';
import {
  compactStore,
  type ReadingsTable,
  readLog,
  readPlant,
  readReadings,
  type Store,
  startWriter,
} from '../../collector/index.ts';
import { simulateHistory } from './history.ts';
import { built } from './started.ts';
import { Stopwatch } from './stopwatch.ts';
import { type Part, whole } from './table.ts';

const PACK_FRAMES = 500;

/** Stage one and two over columns of the store. */
export const stagesPart: Part = {
  name: 'stages',
  run: async ({ quick, rounds }) => {
    const dir = mkdtempSync(join(tmpdir(), 'driftline-bench-'));
    try {
      const history = await simulateHistory(dir, quick);
      const plant = await readPlant(history.plant);
      const { entries } = await readLog(history.log, plant);
      const data = join(dir, 'data');
      const frames = await importReadings(data, await readReadings(history.readings, plant));
      compactStore(data);
      const stages = await builtStages();
      const store = stages.openStore(data);
      const context: SiteContext = { plant, settings: [{ version: 1, adopted: 0, settings: Settings.parse({}) }] };
      const [all, read, two] = [new Stopwatch(), new Stopwatch(), new Stopwatch()];
      let findings = 0;
      for (let round = 0; round < rounds; round++) {
        read.time(() => readAll(stages, store, plant));
        all.start();
        const { tracks, upTo } = stageOne(stages, store, plant);
        two.time(() => {
          const state = stages.sitePipeline.init(context);
          stages.sitePipeline.advance(context, state, tracks, entries, upTo, null);
          findings = stages.sitePipeline.findings(context, state).length;
        });
        all.stop();
      }
      store.close();
      const rate = (seconds: number): string => whole(frames / seconds);
      return [
        { what: `store to ${findings} findings, frames/s`, ...all.shown(rate), aim: '>= 1000000' },
        { what: 'of that stage two alone, frames/s', ...two.shown(rate) },
        { what: 'columns read alone, frames/s', ...read.shown(rate) },
      ];
    } finally {
      rmSync(dir, { recursive: true });
    }
  },
};

async function importReadings(data: string, table: ReadingsTable): Promise<number> {
  const writer = await startWriter(data);
  let frames = 0;
  for (const station of table.stations)
    for (const block of table.blocks(station)) {
      frames += block.times.length;
      const columns = CHANNEL_NAMES.map((name) => block.columns[name]);
      for (let from = 0; from < block.times.length; from += PACK_FRAMES) {
        const pack: Pack = {
          station,
          times: [],
          channels: [],
          values: [],
          strings: [...block.strings],
          provenance: '',
        };
        for (let row = from; row < Math.min(block.times.length, from + PACK_FRAMES); row++)
          for (let channel = 0; channel < columns.length; channel++) {
            const value = columns[channel]?.[row] ?? Number.NaN;
            if (Number.isNaN(value)) continue;
            pack.times.push(block.times[row]!);
            pack.channels.push(channel);
            pack.values.push(value);
          }
        await writer.commit({ packs: [pack] });
      }
    }
  await writer.settle();
  await writer.stop();
  return frames;
}

/** The program as it is shipped: what runs the bench from source slows functions that are made at every look. */
async function builtStages() {
  const { openStore } = await built<typeof Collector>('collector/index.js');
  const { sitePipeline } = await built<typeof Pipeline>('analyzer/pipeline.js');
  const runs = await built<typeof CutRuns>('analyzer/runs/cut-runs.js');
  const { startCut } = await built<typeof CutState>('analyzer/runs/cut-state.js');
  const growing = await built<typeof GrowingRuns>('analyzer/runs/growing-runs.js');
  const { siteTracks } = await built<typeof SiteTracks>('analyzer/runs/site-tracks.js');
  const tracks = await built<typeof Tracks>('analyzer/runs/track.js');
  return { openStore, sitePipeline, startCut, siteTracks, ...runs, ...growing, ...tracks };
}
type Stages = Awaited<ReturnType<typeof builtStages>>;

function readAll({ cutContexts }: Stages, store: Store, plant: Plant): void {
  for (const { station } of cutContexts(plant).values())
    for (const block of store.readings.iterateFrames(station, 0, Number.POSITIVE_INFINITY))
      if (block.times.length === 0) throw new Error('an empty block');
}

/** As `analyzeSite` does it for files. */
function stageOne(stages: Stages, store: Store, plant: Plant): { tracks: Map<string, Track>; upTo: number } {
  const { cutContexts, cutRuns, GrowingRuns, passTime, siteTracks, startCut, trackOf } = stages;
  const cuts = [...cutContexts(plant).values()].map((context) => {
    const [state, runs] = [startCut(), new GrowingRuns(context.station)];
    for (const block of store.readings.iterateFrames(context.station, 0, Number.POSITIVE_INFINITY))
      cutRuns(context, state, block, runs);
    return { context, state, runs };
  });
  const upTo = Math.max(...cuts.map(({ state }) => state.lastTime));
  const tracks = new Map<string, Track>();
  for (const { context, state, runs } of cuts) {
    if (state.frames === 0) continue;
    passTime(context, state, upTo, runs);
    tracks.set(context.station, trackOf(state, runs, upTo));
  }
  return { tracks: siteTracks(plant, tracks), upTo };
}
