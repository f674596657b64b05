import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { channelIndex } from '../../collector/contract/channels.ts';
import type { Pack } from '../../collector/contract/frames.ts';
import { RUN_FIELDS, type RunField, type RunTable } from '../../collector/contract/runs.ts';
import type * as Collector from '../../collector/index.ts';
import { compactStore, type Store, startWriter } from '../../collector/index.ts';
import { runColumns } from '../../collector/store/run-table.ts';
import { built } from './started.ts';
import { Stopwatch } from './stopwatch.ts';
import { type Figure, million, type Part, whole } from './table.ts';

const PACK_FRAMES = 600;
const GUNS = ['gun-01', 'gun-02'];
const START = Date.UTC(2026, 0, 5, 5);
/** Eight channels with their digits, mean while spraying, and noise. */
const SIGNALS = [
  ['conveying/pressure', 2, 2.4, 0.02],
  ['conveying/flow', 2, 2.6, 0.03],
  ['conveying/ripple', 3, 0.012, 0.002],
  ['supplementary/flow', 2, 1.8, 0.02],
  ['fluidizing/pressure', 2, 0.7, 0.01],
  ['supply/pressure', 2, 6.2, 0.03],
  ['powder/output', 0, 180, 4],
  ['trigger', 0, 1, 0],
] as const;

/** Park and Miller's generator, and the sum of four uniform numbers for a bell of noise. */
let state = 20_260_105;
const uniform = (): number => {
  state = (state * 48271) % 2147483647;
  return state / 2147483647;
};
const noise = (): number => (uniform() + uniform() + uniform() + uniform() - 2) * 1.73;

function pack(gun: string, first: number): Pack {
  const [times, channels, values]: [number[], number[], number[]] = [[], [], []];
  for (let i = first; i < first + PACK_FRAMES; i++) {
    const spraying = i % 60 < 24;
    for (const [name, digits, mean, spread] of SIGNALS) {
      const always = name === 'supply/pressure' || name === 'fluidizing/pressure';
      const level = spraying || always ? mean + spread * noise() : name === 'trigger' ? 0 : 0.4 * spread * noise();
      times.push(START + i * 1000);
      channels.push(channelIndex(name));
      values.push(Number(level.toFixed(digits)) + 0);
    }
  }
  return { station: gun, times, channels, values, strings: [], provenance: 'urn:dev:mac:0024befffe804ff1:' };
}

function runTable(gun: string, length: number): RunTable {
  const columns: Record<RunField, Float64Array> = runColumns(length);
  for (let i = 0; i < length; i++)
    for (const [index, field] of RUN_FIELDS.entries()) {
      const value = index < 4 ? Math.round(20 + 10 * noise()) : 2 + noise();
      columns[field][i] = /Spread|Conductance/.test(field) ? value : Math.round(value * 100) / 100;
    }
  for (let i = 0; i < length; i++) {
    columns.start[i] = START + i * 60_000;
    columns.end[i] = columns.start[i]! + 20_000 + Math.round(8000 * uniform());
    columns.powder[i] = i % 500 < 250 ? 0 : 1;
  }
  return { gun, length, columns, powders: ['p-white-07', 'p-black-02'] };
}

async function write(dir: string, frames: number): Promise<Figure> {
  const writer = await startWriter(dir);
  const packs = Math.ceil(frames / PACK_FRAMES);
  // A few packs, sent again and again at later times: making them is no part of what is measured.
  const made = GUNS.map((gun) => Array.from({ length: 16 }, (_, i) => pack(gun, i * PACK_FRAMES)));
  const stopwatch = new Stopwatch();
  stopwatch.start();
  for (let i = 0; i < packs; i++) {
    const round = Math.floor(i / GUNS.length);
    const next = made[i % GUNS.length]![round % 16]!;
    const shift = (round - (round % 16)) * PACK_FRAMES * 1000;
    const done = writer.commit({ packs: [{ ...next, times: next.times.map((time) => time + shift) }] });
    if (i % 8 === 7) await done;
  }
  await writer.settle();
  stopwatch.stop();
  await writer.stop();
  return { what: 'written and chunked, frames/s', ...stopwatch.shown((seconds) => million(frames / seconds)) };
}

/** Packs of one frame, as nodes send them live: a thousand at a time wait for their commit. */
async function writeLive(dir: string, packs: number): Promise<Figure> {
  const writer = await startWriter(dir);
  const [guns, waiting] = [100, 1000];
  const channels = SIGNALS.map(([name]) => channelIndex(name));
  let next = 0;
  const send = async (): Promise<void> => {
    while (next < packs) {
      const number = next++;
      const time = START + Math.floor(number / guns) * 1000;
      const values = channels.map((_, i) => ((number * (i + 3)) % 40) / 100);
      const station = `gun-${number % guns}`;
      await writer.commit({
        packs: [{ station, times: channels.map(() => time), channels, values, strings: [], provenance: '' }],
      });
    }
  };
  const stopwatch = new Stopwatch();
  stopwatch.start();
  await Promise.all(Array.from({ length: waiting }, send));
  stopwatch.stop();
  await writer.stop();
  return { what: 'packs of one frame committed, packs/s', ...stopwatch.shown((seconds) => whole(packs / seconds)) };
}

const ms = (seconds: number): string => (seconds * 1000).toFixed(1);

/** Sums a column, so that what was read is used. */
const total = (values: Float64Array | undefined): number => values?.reduce((sum, value) => sum + value, 0) ?? 0;

function readAll(store: Store, expected: number): number {
  let frames = 0;
  let check = 0;
  for (const gun of GUNS)
    for (const block of store.readings.iterateFrames(gun, 0, Number.POSITIVE_INFINITY)) {
      frames += block.times.length;
      check += block.columns['conveying/flow']?.[0] ?? 0;
    }
  if (frames < expected || Number.isNaN(check)) throw new Error(`read ${frames} of ${expected} frames`);
  return frames;
}

/** Room and speed of the embedded store. */
export const storePart: Part = {
  name: 'store',
  run: async ({ quick, rounds }) => {
    const [made, runs] = quick ? [240_000, 20_000] : [5_200_000, 600_000];
    const dir = mkdtempSync(join(tmpdir(), 'driftline-bench-'));
    const liveDir = mkdtempSync(join(tmpdir(), 'driftline-bench-'));
    try {
      const figures = [await writeLive(liveDir, made / 20), await write(dir, made)];
      return [...figures, ...(await measure(dir, made, runs, rounds))];
    } finally {
      for (const folder of [dir, liveDir]) rmSync(folder, { recursive: true });
    }
  },
};

async function measure(dir: string, made: number, runs: number, rounds: number): Promise<Figure[]> {
  const { frames, bytesBefore, bytesAfter } = compactStore(dir);
  const { openStore } = await built<typeof Collector>('collector/index.js');
  const store = openStore(dir);
  store.runs.replace('gun-01', 0, runTable('gun-01', runs));
  const [all, hour, month, load] = [new Stopwatch(), new Stopwatch(), new Stopwatch(), new Stopwatch()];
  let check = 0;
  for (let round = 0; round < rounds; round++) {
    const from = START + 3_600_000 * (1 + Math.floor(uniform() * (made / GUNS.length / 3600 - 2)));
    all.time(() => {
      check += readAll(store, made);
    });
    hour.time(() => {
      check += store.readings.frames('gun-02', from, from + 3_600_000).times.length;
    });
    month.time(() => {
      const minutes = store.readings.minutes('gun-01', START, START + 30 * 86_400_000);
      check += total(minutes.columns['conveying/flow']?.count);
    });
    load.time(() => {
      check += store.runs.load('gun-01').length;
    });
  }
  store.close();
  if (!(check > 0)) throw new Error('nothing was read');
  const { bytesAfter: withRuns } = compactStore(dir);
  return [
    { what: 'bytes a frame of 8 channels, compacted', measured: (bytesAfter / frames).toFixed(2), aim: '<= 12' },
    { what: 'bytes a frame before compaction', measured: (bytesBefore / frames).toFixed(2) },
    { what: 'all read as columns, frames/s', ...all.shown((seconds) => million(frames / seconds)), aim: '>= 2.5 M' },
    { what: 'one hour of one gun, ms', ...hour.shown(ms), aim: '<= 10' },
    { what: 'minutes of 30 days of one gun, ms', ...month.shown(ms), aim: '<= 100' },
    { what: `${runs} runs loaded, ms`, ...load.shown(ms), aim: '< 1000' },
    { what: 'bytes a run', measured: ((withRuns - bytesAfter) / runs).toFixed(0), aim: '< 200' },
  ];
}
