import { type ChildProcess, fork, spawn } from 'node:child_process';
import { once } from 'node:events';
import { mkdtempSync } from 'node:fs';
import { rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import Database from 'better-sqlite3';
import { uniformInt } from 'pure-rand/distribution/uniformInt';
import { xoroshiro128plus } from 'pure-rand/generator/xoroshiro128plus';
import { afterEach, expect, test } from 'vitest';
import { openStore } from '../../collector/index.ts';

interface Expected {
  readonly station: string;
  readonly rows: [time: number, flow: number][];
}

const KILLS = 10;
const SEED = 20_260_303;
const path = (name: string): string => fileURLToPath(new URL(name, import.meta.url));
const children: ChildProcess[] = [];
let dir = '';

afterEach(async () => {
  for (const child of children) child.kill('SIGKILL');
  await rm(dir, { recursive: true });
});

const startCollector = async (port: number): Promise<{ child: ChildProcess; port: number }> => {
  const child = spawn(process.execPath, ['--import', 'tsx', path('intake-child.ts'), dir, String(port)], {
    stdio: ['ignore', 'pipe', 'inherit'],
  });
  children.push(child);
  const [line] = (await Promise.race([
    once(child.stdout!, 'data'),
    once(child, 'exit').then(([status]) => Promise.reject(new Error(`the collector ended with ${status}`))),
  ])) as [Buffer];
  return { child, port: Number(String(line).match(/^ready (\d+)/)?.[1]) };
};

/** The publishers' process, what it has been acknowledged so far, and its report at the end. */
class Publishers {
  acknowledged = 0;
  expected: Expected[] | null = null;
  readonly #child: ChildProcess;
  #change: () => void = () => undefined;
  #ended = false;

  constructor(port: number) {
    this.#child = fork(path('publisher-child.ts'), [String(port), '8', '25'], { execArgv: ['--import', 'tsx'] });
    children.push(this.#child);
    this.#child.on('message', (message: { acknowledged?: number; expected?: Expected[] }) => {
      this.acknowledged = message.acknowledged ?? this.acknowledged;
      this.expected = message.expected ?? null;
      this.#change();
    });
    this.#child.on('exit', () => {
      this.#ended = true;
      this.#change();
    });
  }

  async #changed(): Promise<void> {
    if (this.#ended) throw new Error('the publishers ended by themselves');
    await new Promise<void>((resolve) => (this.#change = resolve));
  }

  async reached(count: number): Promise<void> {
    while (this.acknowledged < count) await this.#changed();
  }

  async finish(): Promise<Expected[]> {
    this.#child.send('stop');
    while (this.expected === null) await this.#changed();
    return this.expected;
  }
}

test(`no acknowledged reading is lost or doubled when the collector is killed ${KILLS} times under load`, {
  timeout: 180_000,
}, async () => {
  dir = mkdtempSync(join(tmpdir(), 'driftline-kill-'));
  const random = xoroshiro128plus(SEED);
  let { child, port } = await startCollector(0);
  const publishers = new Publishers(port);
  for (let kill = 0; kill < KILLS; kill++) {
    await publishers.reached(publishers.acknowledged + uniformInt(random, 100, 2000));
    // Between two acknowledgements, not always right after one.
    await new Promise((resolve) => setTimeout(resolve, uniformInt(random, 0, 25)));
    child.kill('SIGKILL');
    await once(child, 'exit');
    ({ child, port } = await startCollector(port));
  }
  await publishers.reached(publishers.acknowledged + 200);
  const expected = await publishers.finish();
  child.kill('SIGTERM');
  expect(await once(child, 'exit')).toEqual([0, null]);

  const store = openStore(dir);
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
  const database = new Database(join(dir, 'driftline.db'), { readonly: true });
  expect(database.pragma('integrity_check')).toEqual([{ integrity_check: 'ok' }]);
  database.close();
});
