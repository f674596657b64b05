import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import mqtt from 'mqtt';
import { putLoad } from './load.ts';
import type { LoadResult } from './load-child.ts';
import { gunName, startDriftline, startMosquitto } from './started.ts';
import { type Figure, median, type Part } from './table.ts';

const STATIONS = 20;
/** Packs a second of all quiet stations together: ten a second of each. */
const RATE = 10 * STATIONS;
/** Messages a second that one station may send. Source: the default of broker.maxMessagesPerSecond. */
const FLOOD = 10_000;
/** What one client gets through where nothing holds it back: a flood of so many a second lasts as long as it is looked at. Source: own choice, measured. */
const UNTHROTTLED = 70_000;
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

/** Acknowledgements of 20 quiet stations in one round, ms, and what those beside them came to. */
interface Round {
  readonly alone: readonly number[];
  readonly flooded: readonly number[];
  readonly littered: readonly number[];
  readonly floodPerSecond: number;
  readonly rubbish: number;
}

/** Days of reading time so far: no load may send what another has sent before. */
type Days = { next: number };

async function round(port: number, seconds: number, floodMessages: number, days: Days): Promise<Round> {
  const day = (): number => 86_400_000 * days.next++;
  const quiet = (): Promise<LoadResult> => {
    const messages = RATE * seconds;
    return putLoad({
      port,
      connections: STATIONS,
      guns: STATIONS,
      window: 100,
      messages,
      rate: RATE,
      startMs: START + day(),
    });
  };
  // Alone before each, so that what else the machine does, and what the service has still to do, changes between both alike.
  const [before, flooded, floodPerSecond] = [await quiet(), ...(await besideFlood(quiet, port, floodMessages, day()))];
  const [between, littered, rubbish] = [await quiet(), ...(await besideRubbish(quiet, port))];
  return {
    alone: [...before.latencies, ...between.latencies],
    flooded: flooded.latencies,
    littered: littered.latencies,
    floodPerSecond,
    rubbish,
  };
}

async function besideFlood(
  quiet: () => Promise<LoadResult>,
  port: number,
  messages: number,
  day: number,
): Promise<[LoadResult, number]> {
  // A station of its own: those of one station share what it may send.
  const station = { port, connections: 1, guns: 1, firstGun: STATIONS };
  const flood = putLoad({ ...station, window: 1000, messages, rate: 0, startMs: FLOOD_START + day });
  const flooded = await quiet();
  return [flooded, (await flood).perSecond];
}

async function besideRubbish(quiet: () => Promise<LoadResult>, port: number): Promise<[LoadResult, number]> {
  const beside = quiet();
  const rubbish = await sendRubbish(port, beside);
  return [await beside, rubbish];
}

/** How long the others wait for their acknowledgements while one station sends as fast as it can, with a broker that only forwards as peer. */
export const floodPart: Part = {
  name: 'flood',
  run: async ({ quick, rounds }) => {
    const dir = mkdtempSync(join(tmpdir(), 'driftline-bench-'));
    const seconds = quick ? 5 : 20;
    const [ours, theirs]: [Round[], Round[]] = [[], []];
    const days: Days = { next: 0 };
    try {
      const service = await startDriftline(dir, STATIONS + 1, 'data');
      const mosquitto = await startMosquitto(dir);
      try {
        for (let number = 0; number < rounds; number++) {
          // Throttled to the limit of a station, it lasts a little longer than the others; nobody throttles Mosquitto's.
          ours.push(await round(service.port, seconds, FLOOD * seconds, days));
          if (mosquitto) theirs.push(await round(mosquitto.port, seconds, UNTHROTTLED * seconds, days));
        }
      } finally {
        await service.stop();
        await mosquitto?.stop();
      }
    } finally {
      rmSync(dir, { recursive: true });
    }
    const peer =
      theirs.length > 0 ? figures('Mosquitto: ', theirs) : [{ what: 'Mosquitto', measured: 'not installed' }];
    return [...figures('', ours, '<= 2'), ...peer];
  },
};

function figures(whose: string, rounds: readonly Round[], aim?: string): Figure[] {
  // Of all rounds together: of one round's a hundredth is a pause or two, and which rounds have one is luck.
  const [alone, flooded, littered] = (['alone', 'flooded', 'littered'] as const).map((what) =>
    Float64Array.from(rounds.flatMap((one) => one[what])).sort(),
  ) as [Float64Array, Float64Array, Float64Array];
  const at = (sorted: Float64Array, share: number): number => sorted[Math.floor(sorted.length * share)]!;
  const shown = (sorted: Float64Array): string =>
    [0.5, 0.99, 0.999].map((share) => at(sorted, share).toFixed(1)).join(' / ');
  const over = (sorted: Float64Array, share: number): string => (at(sorted, share) / at(alone, share)).toFixed(2);
  const aimed = aim === undefined ? {} : { aim };
  return [
    { what: `${whose}${STATIONS} stations, acknowledgement p50 / p99 / p99.9, ms`, measured: shown(alone) },
    { what: `${whose}the same beside one that floods`, measured: shown(flooded) },
    { what: `${whose}beside it over alone, p50`, measured: over(flooded, 0.5), ...aimed },
    { what: `${whose}beside it over alone, p99`, measured: over(flooded, 0.99), ...aimed },
    { what: `${whose}the flood, acknowledged/s`, measured: median(rounds.map((one) => one.floodPerSecond)).toFixed(0) },
    { what: `${whose}beside one that sends 8 MB of rubbish, ms`, measured: shown(littered) },
    { what: `${whose}beside it over alone, p50`, measured: over(littered, 0.5), ...aimed },
    { what: `${whose}beside it over alone, p99`, measured: over(littered, 0.99), ...aimed },
    { what: `${whose}packs of rubbish in all`, measured: String(rounds.reduce((sum, one) => sum + one.rubbish, 0)) },
  ];
}
