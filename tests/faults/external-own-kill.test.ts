import { type ChildProcess, spawn } from 'node:child_process';
import { once } from 'node:events';
import { mkdtempSync } from 'node:fs';
import { rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { uniformInt } from 'pure-rand/distribution/uniformInt';
import { xoroshiro128plus } from 'pure-rand/generator/xoroshiro128plus';
import { afterEach, describe, expect, test } from 'vitest';
import { openStore } from '../../collector/index.ts';
import { haveMosquitto, Mosquitto } from '../mosquitto.ts';
import { Publishers } from './publishers.ts';

/** `TEST_KILLS=50` for more. */
const KILLS = Number(process.env.TEST_KILLS ?? 3);
const SEED = 20_260_304;
const children: ChildProcess[] = [];

/** A collector that follows the broker, ready when it has its session there. */
async function startCollector(dir: string, url: string): Promise<ChildProcess> {
  const program = fileURLToPath(new URL('../system/intake-child.ts', import.meta.url));
  const child = spawn(process.execPath, ['--import', 'tsx', program, dir, '0', url], {
    stdio: ['ignore', 'pipe', 'pipe'],
  });
  children.push(child);
  let text = '';
  await new Promise<void>((resolve, reject) => {
    child.stderr.setEncoding('utf8').on('data', (more: string) => {
      text += more;
      if (text.includes('connected to the external broker')) resolve();
    });
    child.once('exit', (status) => reject(new Error(`the collector ended with ${status}: ${text}`)));
  });
  return child;
}

describe.runIf(haveMosquitto())('beside an external broker', () => {
  let broker: Mosquitto;
  let dir = '';
  afterEach(async () => {
    for (const child of children) child.kill('SIGKILL');
    await broker.end();
    await rm(dir, { recursive: true });
  });

  test(`nothing that it has acknowledged is lost or doubled when we are killed ${KILLS} times under load`, {
    timeout: 30_000 + 20_000 * KILLS,
  }, async () => {
    dir = mkdtempSync(join(tmpdir(), 'driftline-own-kill-'));
    const random = xoroshiro128plus(SEED);
    broker = await Mosquitto.start();
    let child = await startCollector(dir, broker.url);
    // The first time the session has to be there before anything is published.
    await new Promise((resolve) => setTimeout(resolve, 300));
    const publishers = new Publishers(broker.port);
    children.push(publishers.child);
    for (let kill = 0; kill < KILLS; kill++) {
      await publishers.reached(publishers.acknowledged + uniformInt(random, 100, 2000));
      child.kill('SIGKILL');
      await once(child, 'exit');
      child = await startCollector(dir, broker.url);
    }
    const expected = await publishers.finish();
    const wanted = expected.reduce((sum, { rows }) => sum + rows.length, 0);
    const store = openStore(dir);
    const stored = (): number =>
      store.readings.stations().reduce((sum, { station }) => sum + store.readings.counts(station).readings / 2, 0);
    for (let before = -1; stored() < wanted && stored() !== before; ) {
      before = stored();
      await new Promise((resolve) => setTimeout(resolve, 1000));
    }
    for (const { station, rows } of expected) {
      const { times, columns } = store.readings.frames(station, 0, Number.MAX_SAFE_INTEGER);
      const flows = columns['conveying/flow']!;
      expect(
        [...times].map((time, row) => [time, flows[row]]),
        station,
      ).toEqual(rows);
      expect(store.readings.counts(station)).toMatchObject({ readings: 2 * rows.length, conflicts: {} });
    }
    store.close();
    child.kill('SIGTERM');
    expect(await once(child, 'exit')).toEqual([0, null]);
  });
});
