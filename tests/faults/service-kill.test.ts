import { type ChildProcess, spawn } from 'node:child_process';
import { once } from 'node:events';
import { mkdtempSync, writeFileSync } from 'node:fs';
import { rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import Database from 'better-sqlite3';
import { uniformInt } from 'pure-rand/distribution/uniformInt';
import { xoroshiro128plus } from 'pure-rand/generator/xoroshiro128plus';
import { afterEach, expect, test } from 'vitest';
import { openStore } from '../../collector/index.ts';
import { PROGRAM, runProgram } from '../system/program.ts';
import { Publishers } from './publishers.ts';

/** `TEST_KILLS=50` for all of them. */
const KILLS = Number(process.env.TEST_KILLS ?? 5);
const SEED = 20_260_303;
const children: ChildProcess[] = [];
let dir = '';

afterEach(async () => {
  for (const child of children) child.kill('SIGKILL');
  await rm(dir, { recursive: true });
});

/** Starts the service, as a user does, on a port that it keeps over its restarts. */
const startService = async (port: number): Promise<{ child: ChildProcess; port: number }> => {
  const plant = join(dir, 'plant.yaml');
  const guns = Array.from({ length: 8 }, (_, index) => `  - { id: gun-0${index + 1} }\n`);
  writeFileSync(plant, `site: { id: hall-2, timezone: Europe/Vienna }\nguns:\n${guns.join('')}`);
  const args = [
    'serve',
    '--plant',
    plant,
    '--data',
    join(dir, 'data'),
    '--mqtt-port',
    String(port),
    '--http-port',
    '0',
  ];
  const child = spawn(process.execPath, [PROGRAM, ...args], { stdio: ['ignore', 'ignore', 'pipe'] });
  children.push(child);
  let text = '';
  const ready = new Promise<number>((resolve, reject) => {
    child.stderr!.setEncoding('utf8').on('data', (more: string) => {
      text += more;
      const match = /^ready mqtt=mqtt:\/\/[^:]+:(\d+)/m.exec(text);
      if (match) resolve(Number(match[1]));
    });
    child.once('exit', (status) => reject(new Error(`the service ended with ${status}: ${text}`)));
  });
  return { child, port: await ready };
};

test(`no acknowledged reading is lost or doubled when the service is killed ${KILLS} times under load`, {
  timeout: 30_000 + 40_000 * KILLS,
}, async () => {
  dir = mkdtempSync(join(tmpdir(), 'driftline-kill-'));
  const random = xoroshiro128plus(SEED);
  let { child, port } = await startService(0);
  const publishers = new Publishers(port);
  children.push(publishers.child);
  for (let kill = 0; kill < KILLS; kill++) {
    await publishers.reached(publishers.acknowledged + uniformInt(random, 100, 2000));
    // Between two acknowledgements, not always right after one.
    await new Promise((resolve) => setTimeout(resolve, uniformInt(random, 0, 25)));
    child.kill('SIGKILL');
    await once(child, 'exit');
    ({ child, port } = await startService(port));
  }
  await publishers.reached(publishers.acknowledged + 200);
  const expected = await publishers.finish();
  child.kill('SIGTERM');
  expect(await once(child, 'exit')).toEqual([0, null]);

  const store = openStore(join(dir, 'data'));
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
  const database = new Database(join(dir, 'data', 'driftline.db'), { readonly: true });
  expect(database.pragma('integrity_check')).toEqual([{ integrity_check: 'ok' }]);
  database.close();
  expect(await runProgram('verify', '--data', join(dir, 'data'))).toMatchObject({ status: 0 });
});
