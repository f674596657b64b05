import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import mqtt from 'mqtt';
import { putLoad } from './load.ts';
import type { LoadResult } from './load-child.ts';
import { gunName, startDriftline } from './started.ts';
import { type Figure, median, type Part } from './table.ts';

const STATIONS = 20;
/** Packs a second of all quiet stations together: ten a second of each. */
const RATE = 10 * STATIONS;
/** Messages a second that one station may send. Source: the default of broker.maxMessagesPerSecond. */
const FLOOD = 10_000;
/** Reading times, epoch ms: the flood's are others than those of the quiet stations. */
const START = Date.UTC(2025, 10, 25, 8);
const FLOOD_START = Date.UTC(2024, 10, 25, 8);

/** The longest pack that is taken, of the JSON that takes longest to read and holds no reading. */
const RUBBISH = Buffer.from(`[${'[1],'.repeat(2_000_000)}1]`);

/** Sends such packs one after the other until `done`. @returns how many were acknowledged */
async function sendRubbish(port: number, done: Promise<unknown>): Promise<number> {
  const client = await mqtt.connectAsync(`mqtt://127.0.0.1:${port}`, { protocolVersion: 4, reconnectPeriod: 0 });
  let [count, sending] = [0, true];
  void done.then(() => (sending = false));
  while (sending) {
    await client.publishAsync(`airlines/hall-1/${gunName(STATIONS)}`, RUBBISH, { qos: 1 });
    count++;
  }
  await client.endAsync(true);
  return count;
}

/** How long the others wait for their acknowledgements while one station sends as fast as it can. */
export const floodPart: Part = {
  name: 'flood',
  run: async ({ quick, rounds }) => {
    const dir = mkdtempSync(join(tmpdir(), 'driftline-bench-'));
    const seconds = quick ? 5 : 20;
    const messages = RATE * seconds;
    const [alone, flooded, littered]: [LoadResult[], LoadResult[], LoadResult[]] = [[], [], []];
    let [perSecond, rubbish] = [0, 0];
    try {
      const service = await startDriftline(dir, STATIONS + 1, 'data');
      try {
        const { port } = service;
        let part = 0;
        const quiet = (): Promise<LoadResult> => {
          const startMs = START + 86_400_000 * part++;
          return putLoad({ port, connections: STATIONS, guns: STATIONS, window: 100, messages, rate: RATE, startMs });
        };
        for (let round = 0; round < rounds; round++) {
          alone.push(await quiet());
          // Throttled to the limit of a station, it lasts a little longer than the others.
          const startMs = FLOOD_START + 86_400_000 * part++;
          const flood = putLoad({
            port,
            connections: 1,
            guns: 1,
            // A station of its own: those of one station share what it may send.
            firstGun: STATIONS,
            window: 1000,
            messages: FLOOD * seconds,
            rate: 0,
            startMs,
          });
          flooded.push(await quiet());
          perSecond = Math.max(perSecond, (await flood).perSecond);
          const beside = quiet();
          rubbish += await sendRubbish(port, beside);
          littered.push(await beside);
        }
      } finally {
        await service.stop();
      }
    } finally {
      rmSync(dir, { recursive: true });
    }
    const shown = (rounds: LoadResult[]): string =>
      `${median(rounds.map(({ p50 }) => p50)).toFixed(1)} / ${median(rounds.map(({ p99 }) => p99)).toFixed(1)}`;
    const over = (results: LoadResult[], pick: (result: LoadResult) => number): string =>
      (median(results.map(pick)) / median(alone.map(pick))).toFixed(2);
    const figures: Figure[] = [
      { what: `${STATIONS} stations, acknowledgement p50 / p99, ms`, measured: shown(alone) },
      { what: 'the same beside one that floods', measured: shown(flooded) },
      { what: 'beside it over alone, p50', measured: over(flooded, ({ p50 }) => p50), aim: '<= 2' },
      { what: 'beside it over alone, p99', measured: over(flooded, ({ p99 }) => p99) },
      { what: 'the flood, acknowledged/s', measured: perSecond.toFixed(0) },
      { what: 'beside one that sends 8 MB of rubbish, ms', measured: shown(littered) },
      { what: 'beside it over alone, p50', measured: over(littered, ({ p50 }) => p50), aim: '<= 2' },
      { what: 'beside it over alone, p99', measured: over(littered, ({ p99 }) => p99) },
      { what: 'packs of rubbish in all', measured: String(rubbish) },
    ];
    return figures;
  },
};
