import fc from 'fast-check';
import { expect, test } from 'vitest';
import { CHANNELS } from '../../../collector/contract/channels.ts';
import { CHANNEL_STEPS } from '../../../collector/contract/resolution.ts';
import { BatchLog } from '../../../collector/store/batch-log.ts';
import { compactStore } from '../../../collector/store/compact.ts';
import { openDatabase } from '../../../collector/store/database.ts';
import { openStore } from '../../../collector/store/embedded.ts';
import { Gathering } from '../../../collector/store/gathering.ts';
import type { Store } from '../../../collector/store/store.ts';
import { Model, packsOf, type Reading, randomFrom, rowsOf } from './model.ts';
import { tempDir } from './temp-dir.ts';

const STATIONS = ['gun-01', 'gun-02'];
const START = 1_760_000_000_000;
const LIMITS = { quarantineBytes: 1e6, tailBytes: 4e6 };
const EVER = Number.POSITIVE_INFINITY;

/** One shape of input: how many instants, and in how many commits, how much of it late, repeated, contradicting. */
const shape = fc.record({
  seed: fc.integer({ min: 1, max: 2 ** 30 }),
  instants: fc.integer({ min: 1, max: 1300 }),
  commits: fc.integer({ min: 1, max: 7 }),
  shuffled: fc.boolean(),
  repeated: fc.constantFrom(0, 0.02, 0.5),
  contradicting: fc.constantFrom(0, 0.05),
  gaps: fc.boolean(),
});
type Shape = typeof shape extends fc.Arbitrary<infer Value> ? Value : never;

function readingsOf({ seed, instants, gaps }: Shape, random: () => number): Reading[] {
  const readings: Reading[] = [];
  let time = START;
  for (let i = 0; i < instants; i++) {
    time += gaps ? 1 + Math.floor(random() * 90_000) : 1000;
    const station = STATIONS[gaps && i % 3 === 0 ? 1 : 0]!;
    for (let channel = 0; channel < CHANNELS.length; channel++) {
      if (random() < 0.4) continue;
      const kind = CHANNELS[channel]!.kind;
      const steps = Math.round((random() - 0.3) * 10 ** ((seed + channel) % 7));
      const value =
        kind === 'string' ? `p-${steps % 3}` : kind === 'boolean' ? steps & 1 : steps / CHANNEL_STEPS[channel]! + 0;
      readings.push({ station, time, channel, value });
    }
  }
  return readings;
}

function arrivals(given: Shape): Reading[] {
  const random = randomFrom(given.seed);
  const once = readingsOf(given, random);
  const again = once.filter(() => random() < given.repeated);
  const other = once
    .filter(() => random() < given.contradicting)
    .map((reading) => ({ ...reading, value: reading.channel === 12 ? 'p-other' : reading.channel === 13 ? 1 : -0.01 }));
  const all = [...once, ...again, ...other];
  if (given.shuffled) {
    for (let i = all.length - 1; i > 0; i--) {
      const k = Math.floor(random() * (i + 1));
      [all[i], all[k]] = [all[k]!, all[i]!];
    }
  }
  return all;
}

function commit(log: BatchLog, readings: readonly Reading[]): void {
  const gathering = new Gathering();
  gathering.add({ packs: packsOf(readings) });
  log.commit(gathering.take().batch, null);
}

function expectSame(store: Store, model: Model, when: string): void {
  for (const station of STATIONS) {
    const rows = model.rows(station, 0, EVER);
    const frames = store.readings.frames(station, 0, EVER);
    expect(rowsOf(frames), `${when}, ${station}`).toEqual(rows);
    const blocks = [...store.readings.iterateFrames(station, 0, EVER)].flatMap(rowsOf);
    expect(blocks, `${when}, ${station}, in blocks`).toEqual(rows);
    const [from, to] = [START + 100_000, START + 700_001];
    expect(rowsOf(store.readings.frames(station, from, to)), `${when}, part`).toEqual(model.rows(station, from, to));
    const counts = store.readings.counts(station);
    expect(counts.frames, when).toBe(rows.length);
    expect(counts.readings, when).toBe(model.all(station).length);
    for (const [kind, expected] of [
      ['duplicates', model.duplicates],
      ['conflicts', model.conflicts],
    ] as const) {
      const wanted = [...expected].flatMap(([key, n]) =>
        key.startsWith(`${station} `) ? [[key.split(' ')[1], n]] : [],
      );
      expect(counts[kind], `${when}, ${kind}`).toEqual(Object.fromEntries(wanted));
    }
  }
}

function expectSameMinutes(store: Store, model: Model): void {
  for (const station of STATIONS) {
    const { times, columns } = store.readings.minutes(station, 0, EVER);
    const expected = new Map<string, number[]>();
    for (const { channel, time, value } of model.all(station)) {
      if (typeof value === 'string') continue;
      const key = `${Math.floor(time / 60_000) * 60_000} ${CHANNELS[channel]!.name}`;
      expected.set(key, [...(expected.get(key) ?? []), value]);
    }
    let cells = 0;
    for (const [name, column] of Object.entries(columns)) {
      for (const [row, time] of times.entries()) {
        const values = expected.get(`${time} ${name}`) ?? [];
        expect(column.count[row]).toBe(values.length);
        if (values.length === 0) continue;
        cells++;
        expect(column.min[row]).toBe(Math.min(...values));
        expect(column.max[row]).toBe(Math.max(...values));
        expect(column.mean[row]).toBeCloseTo(values.reduce((sum, value) => sum + value, 0) / values.length, 6);
      }
    }
    expect(cells).toBe(expected.size);
  }
}

test('the same readings give the same frames however they arrive, in tail and chunks, and after reopening', () => {
  fc.assert(
    fc.property(shape, (given) => {
      const dir = tempDir();
      const random = randomFrom(given.seed + 1);
      const all = arrivals(given);
      const model = new Model();
      let log = new BatchLog(openDatabase(dir, { create: true }), LIMITS);
      let store = openStore(dir);
      for (let i = 0; i < given.commits; i++) {
        const part = all.slice((i * all.length) / given.commits, ((i + 1) * all.length) / given.commits);
        if (part.length === 0) continue;
        commit(log, part);
        model.add(part);
        const chance = random();
        // One station only, so that a sweep is left half done; or all of it; or nothing.
        if (chance < 0.3) log.tidy(1, true);
        else if (chance < 0.7) while (!log.tidy(EVER, true));
        if (chance < 0.15) {
          log.close();
          log = new BatchLog(openDatabase(dir), LIMITS);
        }
      }
      expectSame(store, model, 'while running');
      expectSameMinutes(store, model);
      while (!log.tidy(1, true));
      expectSame(store, model, 'all in chunks');
      expectSameMinutes(store, model);
      log.close();
      store.close();
      compactStore(dir);
      store = openStore(dir);
      expectSame(store, model, 'compacted');
      expectSameMinutes(store, model);
      store.close();
    }),
    { numRuns: 12 },
  );
}, 120_000);
