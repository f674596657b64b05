import Database from 'better-sqlite3';
import { channelIndex } from '../contract/channels.ts';
import { handOverOnce, keepForEver } from '../warm.ts';
import { BatchBuilder } from './batch-builder.ts';
import { BatchLog } from './batch-log.ts';
import { MIGRATIONS } from './migrations.ts';
import { Sql } from './sql.ts';

/** Commits of the warm-up, and packs of each. Source: own choice: measured, with half as many the first chunks are slower. */
const COMMITS = 60;
const STATIONS = 20;
const FRAMES = 4;
const STEP_READINGS = 4_000;
/** What it may take, ms. Source: own choice. */
const MOST_MS = 300;
const CHANNELS = [
  'conveying/pressure',
  'conveying/flow',
  'conveying/ripple',
  'supplementary/flow',
  'supply/pressure',
  'powder/output',
  'trigger',
].map(channelIndex);
/** Any time, epoch ms. */
const START = Date.UTC(2026, 0, 5);

/**
 * Commits invented packs to a database in memory and turns them into chunks, so that V8 has compiled that way before the first commit: its
 * first chunks take ten times as long as later ones, and commits wait behind them.
 *
 * @param clock monotonic, ms
 * @returns frames that became chunks
 */
export function warmWriter(clock: () => number): number {
  const began = clock();
  handOverOnce();
  const inTime = (): boolean => clock() - began < MOST_MS;
  const sql = new Sql(new Database(':memory:'), ':memory:');
  try {
    for (const step of MIGRATIONS) sql.exec(step);
    const log = new BatchLog(sql, { quarantineBytes: 0, tailBytes: 1024 * 1024 });
    keepForEver(sql, log);
    for (let number = 0; number < COMMITS && inTime(); number++) {
      log.commit(batch(number), null);
      if (number % 10 === 9) while (inTime() && !log.tidy(STEP_READINGS, true));
    }
    while (inTime() && !log.tidy(STEP_READINGS, true));
    return sql.get<{ frames: number | null }>('SELECT sum(frames) AS frames FROM chunk')?.frames ?? 0;
  } finally {
    sql.close();
  }
}

function batch(number: number): Uint8Array {
  const builder = new BatchBuilder();
  for (let station = 0; station < STATIONS; station++) {
    const rows = Array.from({ length: FRAMES * CHANNELS.length }, (_, i) => i);
    builder.add({
      station: `gun-${station}`,
      times: rows.map((i) => START + 1000 * (number * FRAMES + Math.floor(i / CHANNELS.length))),
      channels: rows.map((i) => CHANNELS[i % CHANNELS.length]!),
      // Some go up and down slowly, some jump: columns of both kinds are written in ways of their own.
      values: rows.map((i) => valueAt(i % CHANNELS.length, number * FRAMES + Math.floor(i / CHANNELS.length), station)),
      strings: [],
      provenance: 'warm-up:',
    });
  }
  return builder.bytes();
}

function valueAt(place: number, frame: number, station: number): number {
  if (place % 2 === 0) return ((frame * 7 + station * 3 + place * 11) % 400) / 100;
  return (200 + Math.abs((frame % 40) - 20)) / 100;
}
