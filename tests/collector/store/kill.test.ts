import { spawn } from 'node:child_process';
import { once } from 'node:events';
import { join } from 'node:path';
import { createInterface } from 'node:readline';
import Database from 'better-sqlite3';
import { expect, test } from 'vitest';
import type { Frames } from '../../../collector/contract/frames.ts';
import { compactStore, openStore } from '../../../collector/index.ts';
import { FRAMES, killedPack, STATIONS } from './killed-pack.ts';
import { randomFrom } from './model.ts';
import { tempDir } from './temp-dir.ts';

const KILLS = 10;

/** Starts the child and kills it after so many acknowledgements: the numbers that it was told are durable. */
async function commitAndKill(dir: string, from: number, after: number): Promise<number[]> {
  const script = join(import.meta.dirname, 'committing-child.ts');
  const child = spawn(process.execPath, ['--import', 'tsx', script, dir, String(from)], {
    stdio: ['ignore', 'pipe', 'inherit'],
  });
  const acknowledged: number[] = [];
  const ended = once(child, 'exit');
  for await (const line of createInterface({ input: child.stdout })) {
    acknowledged.push(Number(line));
    if (acknowledged.length === after) child.kill('SIGKILL');
  }
  expect(await ended).toEqual([null, 'SIGKILL']);
  return acknowledged;
}

function stored(frames: Frames): Map<number, [number, number]> {
  const { times, columns } = frames;
  const rows = new Map<number, [number, number]>();
  for (const [row, time] of times.entries())
    rows.set(time, [columns['conveying/pressure']![row]!, columns['conveying/flow']![row]!]);
  expect(rows.size).toBe(times.length);
  return rows;
}

function checkStore(dir: string, acknowledged: ReadonlySet<number>, tried: number): void {
  const database = new Database(join(dir, 'driftline.db'));
  expect(database.pragma('integrity_check', { simple: true })).toBe('ok');
  database.close();
  const store = openStore(dir);
  const known = new Map(
    STATIONS.map((station) => [station, stored(store.readings.frames(station, 0, Number.POSITIVE_INFINITY))]),
  );
  let packs = 0;
  for (let number = 0; number < tried; number++) {
    const pack = killedPack(number);
    const rows = known.get(pack.station)!;
    const found = pack.times.filter((time, i) => rows.get(time)?.[pack.channels[i]!] === pack.values[i]).length;
    // Whole or not at all, and not at all only when it was never acknowledged.
    expect([0, 2 * FRAMES], `pack ${number}`).toContain(found);
    if (acknowledged.has(number)) expect(found, `pack ${number}`).toBe(2 * FRAMES);
    if (found > 0) packs++;
  }
  const counts = STATIONS.map((station) => store.readings.counts(station));
  expect(counts.reduce((sum, { frames }) => sum + frames, 0)).toBe(packs * FRAMES);
  expect(counts.reduce((sum, { readings }) => sum + readings, 0)).toBe(packs * FRAMES * 2);
  // Packs that were sent again after a kill, without having been acknowledged, are all there is of repeats.
  const repeated = store.counters().packs! - packs;
  const duplicates = counts.reduce((sum, { duplicates: of }) => sum + (of['conveying/flow'] ?? 0), 0);
  expect(duplicates).toBe(repeated * FRAMES);
  for (const { conflicts } of counts) expect(conflicts).toEqual({});
  store.close();
}

test('a process killed ten times while it commits and tidies loses nothing acknowledged and keeps nothing twice', async () => {
  const dir = tempDir();
  const random = randomFrom(20_261_125);
  const acknowledged = new Set<number>();
  let tried = 0;
  for (let kill = 0; kill < KILLS; kill++) {
    // What was not acknowledged is sent again.
    let from = 0;
    while (acknowledged.has(from)) from++;
    for (const number of await commitAndKill(dir, from, 10 + Math.floor(random() * 120))) acknowledged.add(number);
    tried = Math.max(...acknowledged) + 9;
    checkStore(dir, acknowledged, tried);
  }
  expect(compactStore(dir).frames).toBeGreaterThan(KILLS * 10 * FRAMES);
  checkStore(dir, acknowledged, tried);
}, 180_000);
