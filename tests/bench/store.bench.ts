// Room and speed of the embedded store: `npx tsx tests/bench/store.bench.ts [frames] [runs]`. Rounds are interleaved, medians printed.

import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { channelIndex } from '../../collector/contract/channels.ts';
import type { Pack } from '../../collector/contract/frames.ts';
import { RUN_FIELDS, type RunField, type RunTable } from '../../collector/contract/runs.ts';
import { compactStore, openStore, type Store, startWriter } from '../../collector/index.ts';
import { runColumns } from '../../collector/store/run-table.ts';

const FRAMES = Number(process.argv[2] ?? 5_200_000);
const RUNS = Number(process.argv[3] ?? 600_000);
const ROUNDS = 5;
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

const median = (values: number[]): number => values.sort((left, right) => left - right)[values.length >> 1] as number;

/** By the clock and by the processor, s: they differ where other programs run too. */
class Stopwatch {
  readonly #clock: number[] = [];
  readonly #cpu: number[] = [];
  #start = { clock: 0, cpu: process.cpuUsage() };

  start(): void {
    this.#start = { clock: performance.now(), cpu: process.cpuUsage() };
  }

  stop(): void {
    const { user, system } = process.cpuUsage(this.#start.cpu);
    this.#clock.push((performance.now() - this.#start.clock) / 1e3);
    this.#cpu.push((user + system) / 1e6);
  }

  time(body: () => void): void {
    this.start();
    body();
    this.stop();
  }

  /** Median times by clock and processor, as the table wants them. */
  shown(show: (seconds: number) => string): [string, string] {
    return [show(median(this.#clock)), show(median(this.#cpu))];
  }
}
const rows: [string, string, string, string][] = [];
const row = (what: string, measured: readonly [string, string?], aim = ''): void =>
  void rows.push([what, measured[0], measured[1] ?? '', aim]);

async function write(dir: string): Promise<void> {
  const writer = await startWriter(dir);
  const packs = Math.ceil(FRAMES / PACK_FRAMES);
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
  row(
    'written and chunked, frames/s',
    stopwatch.shown((seconds) => million(FRAMES / seconds)),
  );
}

/** Packs of one frame, as nodes send them live: a thousand at a time wait for their commit. */
async function writeLive(dir: string): Promise<void> {
  const writer = await startWriter(dir);
  const [packs, guns, waiting] = [FRAMES / 20, 100, 1000];
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
  row(
    'packs of one frame committed, packs/s',
    stopwatch.shown((seconds) => (packs / seconds).toFixed(0)),
  );
}

const million = (number: number): string => `${(number / 1e6).toFixed(2)} M`;
const ms = (seconds: number): string => (seconds * 1000).toFixed(1);

/** Sums a column, so that what was read is used. */
const total = (values: Float64Array | undefined): number => values?.reduce((sum, value) => sum + value, 0) ?? 0;

function readAll(store: Store): number {
  let frames = 0;
  let check = 0;
  for (const gun of GUNS)
    for (const block of store.readings.iterateFrames(gun, 0, Number.POSITIVE_INFINITY)) {
      frames += block.times.length;
      check += block.columns['conveying/flow']?.[0] ?? 0;
    }
  if (frames < FRAMES || Number.isNaN(check)) throw new Error(`read ${frames} of ${FRAMES} frames`);
  return frames;
}

const dir = mkdtempSync(join(tmpdir(), 'driftline-bench-'));
const liveDir = mkdtempSync(join(tmpdir(), 'driftline-bench-'));
try {
  await writeLive(liveDir);
  await write(dir);
  const { frames, bytesBefore, bytesAfter } = compactStore(dir);
  row('bytes a frame of 8 channels, compacted', [(bytesAfter / frames).toFixed(2)], '<= 12');
  row('bytes a frame before compaction', [(bytesBefore / frames).toFixed(2)]);
  const store = openStore(dir);
  store.runs.replace('gun-01', 0, runTable('gun-01', RUNS));
  const [all, hour, month, runs] = [new Stopwatch(), new Stopwatch(), new Stopwatch(), new Stopwatch()];
  let check = 0;
  for (let round = 0; round < ROUNDS; round++) {
    const from = START + 3_600_000 * (1 + Math.floor(uniform() * (FRAMES / GUNS.length / 3600 - 2)));
    all.time(() => {
      check += readAll(store);
    });
    hour.time(() => {
      check += store.readings.frames('gun-02', from, from + 3_600_000).times.length;
    });
    month.time(() => {
      const minutes = store.readings.minutes('gun-01', START, START + 30 * 86_400_000);
      check += total(minutes.columns['conveying/flow']?.count);
    });
    runs.time(() => {
      check += store.runs.load('gun-01').length;
    });
  }
  row(
    'all read as columns, frames/s',
    all.shown((seconds) => million(frames / seconds)),
    '>= 2.5 M',
  );
  row('one hour of one gun, ms', hour.shown(ms), '<= 10');
  row('minutes of 30 days of one gun, ms', month.shown(ms), '<= 100');
  row(`${RUNS} runs loaded, ms`, runs.shown(ms), '< 1000');
  store.close();
  const { bytesAfter: withRuns } = compactStore(dir);
  row('bytes a run', [((withRuns - bytesAfter) / RUNS).toFixed(0)], '< 200');
  process.stdout.write(
    `${frames} frames of ${SIGNALS.length} channels, medians of ${ROUNDS} rounds, check ${check}\n\n`,
  );
  process.stdout.write('| what | by the clock | by the processor | aim |\n|---|---|---|---|\n');
  for (const cells of rows) process.stdout.write(`| ${cells.join(' | ')} |\n`);
} finally {
  for (const folder of [dir, liveDir]) rmSync(folder, { recursive: true });
}
