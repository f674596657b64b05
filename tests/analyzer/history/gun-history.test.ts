import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { parquetMetadata, parquetReadObjects } from 'hyparquet';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { gunHistory } from '../../../analyzer/history/gun-history.ts';
import { HISTORY_SERIES, historyCsv, runsParquet } from '../../../analyzer/index.ts';
import { RUN_FIELDS, type RunField, type RunTable, Settings } from '../../../collector/contract/index.ts';
import { openStore, type Store } from '../../../collector/index.ts';

const START = Date.UTC(2026, 0, 5);
const MINUTE_MS = 60_000;
const RUNS = 5000;
/** Between two runs. */
const IDLE = START + 20 * 24 * 60 * MINUTE_MS + 5 * MINUTE_MS;

/** A run each ten minutes; every tenth without output; another powder in the second half. */
function runTable(): RunTable {
  const columns = Object.fromEntries(
    RUN_FIELDS.map((field) => [field, new Float64Array(RUNS).fill(Number.NaN)]),
  ) as Record<RunField, Float64Array>;
  for (let row = 0; row < RUNS; row++) {
    columns.start[row] = START + row * 10 * MINUTE_MS;
    columns.end[row] = columns.start[row]! + MINUTE_MS;
    columns.sprayMs[row] = MINUTE_MS;
    columns.powder[row] = row < RUNS / 2 ? 0 : 1;
    columns.conveyingFlow[row] = row === 1234 ? 9 : 3 + (row % 7) / 100;
    columns.output[row] = row % 10 === 0 ? Number.NaN : 180;
  }
  return { gun: 'gun-01', length: RUNS, columns, powders: ['p-white', 'p-black'] };
}

let store: Store;
let dir: string;
const table = runTable();
const to = START + RUNS * 10 * MINUTE_MS;
const all = HISTORY_SERIES.map(({ name }) => name);
const ask = (changes: Partial<Parameters<typeof gunHistory>[1]> = {}) =>
  gunHistory(store, { gun: 'gun-01', from: START, to, series: all, points: 300, ...changes });

beforeAll(() => {
  dir = mkdtempSync(join(tmpdir(), 'driftline-history-'));
  store = openStore(dir, { create: true });
  store.runs.replace('gun-01', 0, table);
  store.traces.put(
    [START + 3_600_000, IDLE].map((time) => ({
      ...{ gun: 'gun-01', time, needed: 3, actual: 3.3, changeLimit: 0.2, wearLeft: 0.5 },
      ...{ excess: 0.1, low: 0.06, high: 0.14 },
    })),
  );
  store.settings.add(Settings.parse({}), { adopted: START + 5000, recordedAt: 1, who: 'Anna', why: 'trial' });
  store.truths.exclude({ gun: 'gun-01', from: START, to: START + 1, reason: 'trial powder' }, { at: 1, who: 'Anna' });
});
afterAll(() => {
  store.close();
  rmSync(dir, { recursive: true });
});

describe('the past of a gun', () => {
  test('comes in no more points than asked, with the one peak in it', () => {
    const { times, series, level } = ask();
    expect(level).toBe('runs');
    expect(times.length).toBeLessThanOrEqual(300);
    expect(times).toEqual([...times].sort((a, b) => a - b));
    const flow = series.find(({ name }) => name === 'conveyingFlow')!;
    expect(Math.max(...flow.high.map((value) => value ?? 0))).toBe(9);
    expect(flow.unit).toBe('m3/h');
    for (const { low, mid, high } of series)
      expect([low.length, mid.length, high.length]).toEqual([times.length, times.length, times.length]);
  });

  test('carries the excess air with its band, powders, settings and excluded runs', () => {
    const { series, powders, settings, excluded } = ask({ to: START + 48 * 3_600_000 });
    const excess = series.find(({ name }) => name === 'excessAir')!;
    const at = excess.mid.findIndex((value) => value !== null);
    expect([excess.low[at], excess.mid[at], excess.high[at]]).toEqual([0.06, 0.1, 0.14]);
    expect(powders).toEqual([{ powder: 'p-white', from: START, to: expect.any(Number) }]);
    expect(settings).toEqual([{ version: 1, adopted: START + 5000, who: 'Anna', why: 'trial' }]);
    // Held on beyond its begin.
    const later = START + 24 * 3_600_000;
    expect(ask({ from: later, to: later + 1 }).settings).toEqual(settings);
    expect(ask({ from: START, to: START + 5000 }).settings).toEqual([]);
    expect(excluded.map(({ reason }) => reason)).toEqual(['trial powder']);
    expect(ask().powders.map(({ powder }) => powder)).toEqual(['p-white', 'p-black']);
  });

  test('tells what was needed in a single trigger pull too, though the analysis speaks once an hour', () => {
    const pull = START + 60 * MINUTE_MS;
    const needed = (from: number) =>
      ask({ from, to: from + 2 * MINUTE_MS }).series.find(({ name }) => name === 'neededAir')!;
    expect(needed(pull - 30 * MINUTE_MS).mid).toEqual([3]);
    expect(needed(pull + 30 * MINUTE_MS)).toMatchObject({ low: [3], mid: [3], high: [3] });
    expect(needed(pull + 24 * 60 * MINUTE_MS).mid).toEqual([null]);
  });

  test('of a gun or span without readings is empty, not an error', () => {
    expect(ask({ gun: 'gun-99' })).toMatchObject({ times: [], powders: [], known: null });
    expect(ask({ from: to + 1, to: to + 2 }).times).toEqual([]);
    const between = START + 2 * MINUTE_MS;
    const run = (at: number) => ({ from: START + at * MINUTE_MS, to: START + (at + 1) * MINUTE_MS });
    expect(ask({ from: between, to: between + MINUTE_MS }).nearest).toEqual({ before: run(0), after: run(10) });
    expect(ask().nearest).toBeNull();
    expect(ask({ gun: 'gun-99' }).nearest).toEqual({ before: null, after: null });
  });

  test('tells of the runs around a span that has something, but none of them', () => {
    const { times, nearest } = ask({ from: IDLE - MINUTE_MS, to: IDLE + MINUTE_MS });
    expect(times).toHaveLength(1);
    expect(nearest).toEqual({
      before: { from: IDLE - 5 * MINUTE_MS, to: IDLE - 4 * MINUTE_MS },
      after: { from: IDLE + 5 * MINUTE_MS, to: IDLE + 6 * MINUTE_MS },
    });
  });

  test('is known from its first run to its newest, also where no readings are kept of them', () => {
    expect(ask().known).toEqual({ from: START, to: to - 9 * MINUTE_MS });
  });

  test('goes out as CSV with units and empty cells for what was not measured', () => {
    const lines = historyCsv(ask({ series: ['output'], points: 10_000, to: START + 20 * MINUTE_MS })).split('\r\n');
    expect(lines[0]).toBe('time,output lowest [g/min],output mean [g/min],output highest [g/min]');
    expect(lines[1]).toMatch(/^2026-01-05T00:10:00\.\d{3}Z,180,180,180$/);
  });

  test('goes out beside another gun, each under its name, where that has nothing left empty', () => {
    const span = { series: ['output'], points: 10_000, to: START + 20 * MINUTE_MS };
    const lines = historyCsv(ask(span), ask({ ...span, gun: 'gun-02' })).split('\r\n');
    expect(lines[0]).toMatch(/^time,gun-01 output lowest \[g\/min\],.*,gun-02 output lowest \[g\/min\],/);
    expect(lines[1]).toMatch(/Z,180,180,180,,,$/);
  });
});

test('runs go out as Parquet that another reader reads back', async () => {
  // Outside check: hyparquet, a reader of the Apache Parquet format by its specification.
  const bytes = runsParquet(table, { powders: [{ id: 'p-white', name: 'White polyester fine' }] });
  const rows = await parquetReadObjects({ file: bytes.buffer as ArrayBuffer });
  expect(rows).toHaveLength(RUNS);
  expect(rows[1]).toMatchObject({
    gun: 'gun-01',
    powder: 'p-white',
    powderName: 'White polyester fine',
    output: 180,
    sprayMs: MINUTE_MS,
  });
  expect(rows[1]!.start).toEqual(new Date(START + 10 * MINUTE_MS));
  expect(rows[10]!.output).toBeNull();
  expect(rows[4999]).toMatchObject({ powder: 'p-black', powderName: null });
  expect(rows.map(({ conveyingFlow }) => conveyingFlow)).toEqual([...table.columns.conveyingFlow]);
  const { key_value_metadata: told } = parquetMetadata(bytes.buffer as ArrayBuffer);
  const units = JSON.parse(told!.find(({ key }) => key === 'units')!.value!);
  expect(units).toMatchObject({ output: 'g/min', conveyingFlow: 'm3/h (0 °C, 1013.25 hPa)', ripple: 'bar' });
  expect(Object.keys(rows[0]!)).toEqual(expect.arrayContaining(Object.keys(units)));
});
