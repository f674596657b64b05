import { spawnSync } from 'node:child_process';
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { putLoad } from './load.ts';
import type { LoadResult } from './load-child.ts';
import { type Started, startDriftline, startMosquitto } from './started.ts';
import { type Figure, median, type Part, type Size, whole } from './table.ts';

const GUNS = 100;
const WINDOW = 100;
/** Epoch ms. */
const START = Date.UTC(2025, 10, 25, 8);

interface Round extends LoadResult {
  readonly brokerCpu: number;
  readonly peakMb: number;
}

async function round(broker: Started, connections: number, messages: number): Promise<Round> {
  try {
    const before = broker.cpuSeconds();
    const load = { port: broker.port, connections, guns: GUNS, window: WINDOW, messages, rate: 0, startMs: START };
    const result = await putLoad(load);
    return { ...result, brokerCpu: broker.cpuSeconds() - before, peakMb: broker.peakMb() };
  } finally {
    await broker.stop();
  }
}

/** A library that makes every sync of a file 10 ms longer, as on a gateway's flash; null without a C compiler. */
function slowSync(dir: string): string | null {
  const library = join(dir, 'slow-sync.so');
  const source = fileURLToPath(new URL('./slow-sync.c', import.meta.url));
  const { status } = spawnSync('cc', ['-shared', '-fPIC', '-o', library, source, '-ldl'], { stdio: 'ignore' });
  return status === 0 ? library : null;
}

async function compare(
  name: string,
  connections: number,
  messages: number,
  size: Size,
  aim: string,
  environment: NodeJS.ProcessEnv = {},
): Promise<Figure[]> {
  const [ours, theirs]: [Round[], Round[]] = [[], []];
  const dir = mkdtempSync(join(tmpdir(), 'driftline-bench-'));
  try {
    for (let number = 0; number < size.rounds; number++) {
      const data = `data-${number}`;
      const service = await startDriftline(dir, GUNS, data, environment);
      ours.push(await round(service, connections, messages));
      rmSync(join(dir, data), { recursive: true });
      const mosquitto = await startMosquitto(dir);
      if (mosquitto !== null) theirs.push(await round(mosquitto, connections, messages));
    }
  } finally {
    rmSync(dir, { recursive: true });
  }
  const rate = median(ours.map(({ perSecond }) => perSecond));
  const spread = (rounds: Round[]): string => rounds.map(({ perSecond }) => whole(perSecond / 1000)).join(' ');
  const byProcessor = (rounds: Round[]): string =>
    `${((median(rounds.map(({ brokerCpu }) => brokerCpu)) / messages) * 1e6).toFixed(1)} µs each`;
  const figures: Figure[] = [
    { what: `${name}, acknowledged/s`, measured: whole(rate), byProcessor: byProcessor(ours) },
    { what: `${name}, acknowledgement p50 / p99, ms`, measured: latencies(ours) },
    { what: `${name}, memory, MB`, measured: whole(Math.max(...ours.map(({ peakMb }) => peakMb))) },
  ];
  if (theirs.length === 0) return [...figures, { what: `${name}, over Mosquitto`, measured: 'not installed', aim }];
  const theirRate = median(theirs.map(({ perSecond }) => perSecond));
  return [
    ...figures,
    { what: `${name}, Mosquitto/s`, measured: whole(theirRate), byProcessor: byProcessor(theirs) },
    { what: `${name}, over Mosquitto`, measured: (rate / theirRate).toFixed(2), aim },
    { what: `${name}, rounds, 1000/s: ours; Mosquitto's`, measured: `${spread(ours)}; ${spread(theirs)}` },
  ];
}

function latencies(rounds: readonly Round[]): string {
  const of = (pick: (round: Round) => number): string => median(rounds.map(pick)).toFixed(1);
  return `${of(({ p50 }) => p50)} / ${of(({ p99 }) => p99)}`;
}

/** Acknowledged, that is committed, messages a second, in alternating rounds with a broker that only forwards. */
export const intakePart: Part = {
  name: 'intake',
  run: async (size) => {
    const messages = size.quick ? 40_000 : 400_000;
    return [
      ...(await compare('10 connections × 100', 10, messages, size, '>= 1.0')),
      ...(await compare('1 connection × 100', 1, messages / 2, size, '>= 0.7')),
    ];
  },
};

/** The same with a slow disk. */
export const slowDiskPart: Part = {
  name: 'slow-disk',
  run: async (size) => {
    const dir = mkdtempSync(join(tmpdir(), 'driftline-bench-'));
    try {
      const library = slowSync(dir);
      if (library === null) return [{ what: '10 ms a sync', measured: 'no C compiler' }];
      const messages = size.quick ? 40_000 : 200_000;
      return await compare('10 connections × 100, 10 ms a sync', 10, messages, size, '>= 0.6', { LD_PRELOAD: library });
    } finally {
      rmSync(dir, { recursive: true });
    }
  },
};
