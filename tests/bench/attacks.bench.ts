import { spawn } from 'node:child_process';
import { once } from 'node:events';
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { setTimeout as pause } from 'node:timers/promises';
import { fileURLToPath } from 'node:url';
import { ATTACKS } from './attack-kinds.ts';
import { putLoad } from './load.ts';
import { type Started, startDriftline, startMosquitto } from './started.ts';
import type { Figure, Part } from './table.ts';

const STATIONS = 20;
/** Packs a second of all quiet stations together: ten a second of each. */
const RATE = 10 * STATIONS;
/** Reading time of the first load, epoch ms; each has a day of its own. */
const START = Date.UTC(2025, 10, 25, 8);
/** From the start of an attack to the first acknowledgement that is looked at, ms. Source: own choice, because some have to prepare. */
const BEFORE_MS = 2500;
const CHILD = fileURLToPath(new URL('./attack-child.ts', import.meta.url));

/** How often each attack did what it does. */
const counts = new Map<string, number>();

/** Attacks from a process of its own while `body` runs. */
async function beside<T>(kind: string, port: number, body: () => Promise<T>): Promise<T> {
  const child = spawn(process.execPath, ['--import', 'tsx', CHILD, kind, String(port)], {
    stdio: ['pipe', 'pipe', 'inherit'],
  });
  let said = '';
  child.stdout.setEncoding('utf8').on('data', (more: string) => {
    said += more;
  });
  try {
    await pause(BEFORE_MS);
    return await body();
  } finally {
    child.stdin.end();
    const late = setTimeout(() => child.kill('SIGKILL'), 5000);
    await once(child, 'close');
    clearTimeout(late);
    if (said !== '') counts.set(kind, (counts.get(kind) ?? 0) + Number(said));
  }
}

const at = (sorted: Float64Array, share: number): number => sorted[Math.floor(sorted.length * share)] ?? Number.NaN;
const sortedOf = (rounds: readonly (readonly number[])[]): Float64Array => Float64Array.from(rounds.flat()).sort();

/** How long quiet stations, which connect while it goes on, wait for their acknowledgements beside a peer that means ill. */
export const attacksPart: Part = {
  name: 'attacks',
  run: async ({ quick, rounds }) => {
    const dir = mkdtempSync(join(tmpdir(), 'driftline-bench-'));
    const seconds = quick ? 3 : 10;
    const figures: Figure[] = [];
    const service: Started | null = process.env.BENCH_PEER
      ? await startMosquitto(dir)
      : await startDriftline(dir, STATIONS + 1, 'data');
    if (service === null) throw new Error('Mosquitto is not installed');
    let day = 0;
    const quiet = async (): Promise<readonly number[]> => {
      const load = { port: service.port, connections: STATIONS, guns: STATIONS, window: 100, rate: RATE };
      const { latencies } = await putLoad({
        ...load,
        messages: RATE * seconds,
        startMs: START + 86_400_000 * day++,
      });
      return latencies;
    };
    const wanted = process.env.BENCH_ATTACKS?.split(',') ?? ATTACKS;
    try {
      await quiet();
      for (const kind of wanted) {
        const [alone, attacked]: [(readonly number[])[], (readonly number[])[]] = [[], []];
        for (let round = 0; round < rounds; round++) {
          alone.push(await quiet());
          attacked.push(await beside(kind, service.port, quiet));
        }
        const [before, during] = [sortedOf(alone), sortedOf(attacked)];
        const shown = (of: Float64Array): string => `${at(of, 0.5).toFixed(1)} / ${at(of, 0.99).toFixed(1)}`;
        const over = (share: number): string => (at(during, share) / at(before, share)).toFixed(2);
        figures.push(
          { what: `${kind}: p50 / p99 alone, beside, ms`, measured: `${shown(before)}, ${shown(during)}` },
          {
            what: `${kind}: beside over alone, p50, p99 (${counts.get(kind) ?? 0} times)`,
            measured: `${over(0.5)}, ${over(0.99)}`,
            aim: '<= 2',
          },
        );
      }
      figures.push({ what: 'memory, MB', measured: service.peakMb().toFixed(0) });
    } finally {
      await service.stop();
      rmSync(dir, { recursive: true });
    }
    return figures;
  },
};
