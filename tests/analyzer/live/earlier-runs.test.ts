import { afterEach, describe, expect, test, vi } from 'vitest';
import { StoredRuns } from '../../../analyzer/live/earlier-runs.ts';
import { type Holding, heldByEach } from '../../../analyzer/live/held-runs.ts';
import { rowsOf } from '../../../analyzer/live/kept-runs.ts';
import { RunCursor } from '../../../analyzer/pipeline-cursor.ts';
import { GrowingRuns } from '../../../analyzer/runs/growing-runs.ts';
import { type LogEntry, RUN_FIELDS, type RunTable } from '../../../collector/contract/index.ts';
import type { Runs } from '../../../collector/index.ts';
import { liveOver, openHall, packsOf, workOff } from './live-hall.ts';
import { madeUpHall, PLANT, START } from './made-up-hall.ts';
import { tallyPipeline } from './tally-pipeline.ts';

const HOUR = 3_600_000;
const DAY = 24 * HOUR;
const WEEK = 7 * DAY;

/** Runs of a gun that sprays from six to two on five days a week, a run every five minutes. */
function weeksOfRuns(weeks: number): RunTable {
  const runs = new GrowingRuns('gun-1');
  const row = new Float64Array(RUN_FIELDS.length);
  for (let day = 0; day < 7 * weeks; day++)
    for (let minute = 0; day % 7 < 5 && minute < 8 * 60; minute += 5) {
      const start = day * DAY + 6 * HOUR + minute * 60_000;
      row.fill(minute);
      row[RUN_FIELDS.indexOf('start')] = start;
      row[RUN_FIELDS.indexOf('end')] = start + 30_000;
      runs.push(row);
    }
  return runs.table();
}

/** A store of runs that counts how often it is read. */
function countingRuns(table: RunTable): Pick<Runs, 'load'> & { loads: number } {
  return {
    loads: 0,
    load(_gun, from = 0, to = Number.POSITIVE_INFINITY) {
      this.loads++;
      const { start } = table.columns;
      const rows = [...start.keys()].filter((row) => start[row]! >= from && start[row]! < to);
      return rowsOf(table, rows[0] ?? 0, (rows.at(-1) ?? -1) + 1);
    },
  };
}

/** Ends of the runs that somebody finds who goes on hour by hour, with a cursor of its own each time. */
function hourByHour(stored: StoredRuns, atHand: RunTable, to: number): number[] {
  const ends: number[] = [];
  const track = { station: 'gun-1', runs: atHand, earlier: stored, facts: [], firstTime: 0, lastTime: to };
  for (let hour = 0; hour < to; hour += HOUR) {
    const cursor = new RunCursor('gun-1', track, hour, hour + HOUR);
    for (let span = cursor.take(hour + HOUR); span !== null; span = cursor.take(hour + HOUR))
      for (let row = span.from; row < span.to; row++) ends.push(span.table.columns.end[row]!);
  }
  return ends;
}

describe('runs that are in the store alone', () => {
  const weeks = 10;
  const all = weeksOfRuns(weeks);
  const none = rowsOf(all, 0, 0);

  test('are read some days at a time by whoever goes through them hour by hour, idle days included', () => {
    const runs = countingRuns(all);
    const stored = new StoredRuns(runs, 'gun-1', weeks * WEEK, [], 2000);
    expect(hourByHour(stored, none, weeks * WEEK)).toEqual([...all.columns.end]);
    // The first pieces are a day, two and four; then weeks.
    expect(runs.loads).toBeLessThanOrEqual(weeks + 4);
  });

  test('are read ahead no further than is allowed', () => {
    const runs = countingRuns(all);
    const ahead = 100;
    const stored = new StoredRuns(runs, 'gun-1', weeks * WEEK, [], ahead);
    let most = 0;
    for (let hour = 0; hour < weeks * WEEK; hour += HOUR) {
      const { table, to } = stored.between(hour, hour + HOUR);
      most = Math.max(most, table.length - to);
    }
    expect(most).toBe(ahead);
    expect(hourByHour(stored, none, weeks * WEEK)).toEqual([...all.columns.end]);
    // 96 runs a day.
    expect(runs.loads).toBeLessThan(2 * 2 * weeks * 5);
  });

  test('are not read anew because memory lets go of more', () => {
    const runs = countingRuns(all);
    const stored = new StoredRuns(runs, 'gun-1', 8 * WEEK, [], 2000);
    const ends: number[] = [];
    for (let hour = 0; hour < weeks * WEEK; hour += HOUR) {
      stored.reachTo(8 * WEEK + hour);
      const { table, from, to } = stored.between(hour, hour + HOUR);
      for (let row = from; row < to; row++) ends.push(table.columns.end[row]!);
    }
    expect(ends).toEqual([...all.columns.end]);
    expect(runs.loads).toBeLessThanOrEqual(weeks + 4);
  });

  test('end where those at hand begin', () => {
    const until = 3 * WEEK + 6 * HOUR + 7 * 5 * 60_000;
    const row = all.columns.end.findIndex((end) => end > until);
    const stored = new StoredRuns(countingRuns(all), 'gun-1', until, [], 2000);
    expect(hourByHour(stored, rowsOf(all, row, all.length), weeks * WEEK)).toEqual([...all.columns.end]);
  });
});

describe('late readings', () => {
  const open: { close(): Promise<void> }[] = [];
  afterEach(async () => {
    for (const hall of open.splice(0)) await hall.close();
  });

  test('have the runs of the other guns read once, although all is written down again and again meanwhile', async () => {
    const days = 8;
    const hall = madeUpHall(days);
    const holding: Holding = { runsMs: DAY, mostRuns: 40, ahead: 4 * 200 };
    const { writer, store, close } = await openHall();
    open.push({ close });
    const packs = [...hall.values()].flatMap((frames) => packsOf(frames, 20_000));
    const { analyzer, clock } = liveOver(store, PLANT, tallyPipeline, holding);
    analyzer.committed((await writer.commit({ packs })).stations);
    const before = workOff(analyzer, clock);
    analyzer.flush();
    const load = vi.spyOn(store.runs, 'load');
    const entry: LogEntry = {
      ...{ time: START + HOUR, gun: 'gun-1', part: 'pump-insert', action: 'replaced', found: 'worn', note: '' },
    };
    store.log.add(entry, { recordedAt: 0, source: 'test' });
    expect(analyzer.recordsChanged()).toBe(true);
    for (let result = analyzer.work(); result !== Number.POSITIVE_INFINITY; result = analyzer.work()) {
      clock.now += typeof result === 'number' ? result : 1;
      analyzer.flush();
    }
    expect(analyzer.shown!.findings).not.toEqual(before);
    // Some 90 runs a day.
    const pieces = Math.ceil((days * 90) / heldByEach(holding, 4).ahead);
    for (const { id } of PLANT.guns)
      expect(load.mock.calls.filter(([gun]) => gun === id).length).toBeLessThanOrEqual(2 * pieces);
  }, 120_000);
});
