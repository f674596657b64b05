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
const NOBODY = fileURLToPath(new URL('./attacked-nobody.ts', import.meta.url));

/** How often each attack did what it does to the service. */
const counts = new Map<string, number>();

/** What is listened to beside the service, and attacked in its place. */
async function startNobody(): Promise<{ readonly port: number; stop(): void }> {
  const child = spawn(process.execPath, ['--import', 'tsx', NOBODY], { stdio: ['pipe', 'pipe', 'inherit'] });
  const [told] = await once(child.stdout, 'data');
  return { port: Number(String(told)), stop: () => child.stdin.end() };
}

/** Attacks from a process of its own while `body` runs. @returns how often, by its own count */
async function beside(kind: string, port: number, body: () => Promise<void>): Promise<number> {
  const child = spawn(process.execPath, ['--import', 'tsx', CHILD, kind, String(port)], {
    stdio: ['pipe', 'pipe', 'inherit'],
  });
  let said = '';
  child.stdout.setEncoding('utf8').on('data', (more: string) => {
    said += more;
  });
  try {
    await pause(BEFORE_MS);
    await body();
  } finally {
    child.stdin.end();
    const late = setTimeout(() => child.kill('SIGKILL'), 5000);
    await once(child, 'close');
    clearTimeout(late);
  }
  return Number(said);
}

const count = (kind: string, times: number): Map<string, number> => counts.set(kind, (counts.get(kind) ?? 0) + times);

const at = (sorted: readonly number[], share: number): number =>
  sorted[Math.floor(sorted.length * share)] ?? Number.NaN;

/** What quiet stations waited for their acknowledgements, ms, and the processors that the service took meanwhile. */
class Waits {
  #latencies: number[] = [];
  #seconds = 0;
  #cpuSeconds = 0;

  async add(service: Started, load: () => Promise<readonly number[]>): Promise<void> {
    const [began, cpu] = [performance.now(), service.cpuSeconds()];
    this.#latencies.push(...(await load()));
    this.#latencies.sort((a, b) => a - b);
    this.#seconds += (performance.now() - began) / 1000;
    this.#cpuSeconds += service.cpuSeconds() - cpu;
  }

  over(other: Waits): string {
    return [0.5, 0.99].map((share) => (at(this.#latencies, share) / at(other.#latencies, share)).toFixed(2)).join(', ');
  }

  get text(): string {
    return [0.5, 0.99].map((share) => at(this.#latencies, share).toFixed(1)).join(' / ');
  }

  get processors(): string {
    return (this.#cpuSeconds / this.#seconds).toFixed(2);
  }
}

/**
 * How long quiet stations, which connect while it goes on, wait for their acknowledgements beside a peer that means ill. Such a peer takes of the machine, too: what that alone
 * makes them wait is looked at beside one that does the same to a listener of its own.
 */
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
    const nobody = await startNobody();
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
        const [alone, attacked, elsewhere] = [new Waits(), new Waits(), new Waits()];
        for (let round = 0; round < rounds; round++) {
          await alone.add(service, quiet);
          await beside(kind, nobody.port, () => elsewhere.add(service, quiet));
          count(kind, await beside(kind, service.port, () => attacked.add(service, quiet)));
        }
        figures.push(
          {
            what: `${kind}: p50 / p99 alone, beside, beside the same at another listener, ms`,
            measured: [alone, attacked, elsewhere].map(({ text }) => text).join(', '),
          },
          {
            what: `${kind}: beside over alone, p50, p99 (${counts.get(kind) ?? 0} times)`,
            measured: attacked.over(alone),
            aim: '<= 2',
          },
          { what: `${kind}: beside over the same at another listener, p50, p99`, measured: attacked.over(elsewhere) },
          {
            what: `${kind}: processors of the service alone, beside`,
            measured: `${alone.processors}, ${attacked.processors}`,
          },
        );
      }
      figures.push({ what: 'memory, MB', measured: service.peakMb().toFixed(0) });
    } finally {
      nobody.stop();
      await service.stop();
      rmSync(dir, { recursive: true });
    }
    return figures;
  },
};
