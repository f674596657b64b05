import { afterEach, beforeEach, describe, expect, test, vi } from 'vitest';
import { BatchBuilder } from '../../../collector/store/batch-builder.ts';
import { BatchLog } from '../../../collector/store/batch-log.ts';
import { openDatabase } from '../../../collector/store/database.ts';
import { sweepRestMs } from '../../../collector/store/sweep-rest.ts';
import { WriterChores } from '../../../collector/store/writer-chores.ts';
import type { FromWriter } from '../../../collector/store/writer-messages.ts';
import { killedPack } from './killed-pack.ts';
import { tempDir } from './temp-dir.ts';

beforeEach(() => {
  vi.useFakeTimers({ now: 0, toFake: ['setTimeout', 'clearTimeout', 'setImmediate', 'clearImmediate', 'Date'] });
});
afterEach(() => {
  vi.useRealTimers();
});

/** Chores over a tail that takes so many steps of a millisecond to become chunks. */
function chores(steps: number, urgency = 0) {
  const done: number[] = [];
  const told: FromWriter[] = [];
  const left = { steps };
  const log = {
    checkpoint: () => undefined,
    urgency,
    abandonSweep: () => undefined,
    retention: () => ({ step: () => true }) as never,
    tidy: () => {
      if (left.steps === 0) return true;
      vi.setSystemTime(Date.now() + 1);
      left.steps--;
      done.push(Date.now());
      return false;
    },
  };
  return { done, told, left, log, work: new WriterChores(log, Date.now, (message) => told.push(message)) };
}

describe('the tail on its way into chunks', () => {
  test('rests twenty times as long as a step took, whatever is committed meanwhile', () => {
    const { done, work } = chores(3);
    for (let at = 0; at < 70; at++) {
      work.soon();
      vi.advanceTimersByTime(1);
    }
    expect(done).toHaveLength(3);
    expect(done[1]! - done[0]!).toBeGreaterThanOrEqual(20);
    expect(done[2]! - done[1]!).toBeGreaterThanOrEqual(20);
  });

  test('goes on by itself after the last commit', () => {
    const { done, work } = chores(3);
    work.soon();
    vi.runAllTimers();
    expect(done).toHaveLength(3);
  });

  test('is stepped once between two commits that come one upon the other', () => {
    const { done, work } = chores(3, 1);
    work.beforeNext();
    expect(done).toHaveLength(0);
    for (let commit = 1; commit <= 2; commit++) {
      work.soon();
      work.beforeNext();
      expect(done).toHaveLength(commit);
    }
    vi.runAllTimers();
    expect(done).toHaveLength(3);
  });

  test('rests less the more has gathered, and not at all once it is as much as may', () => {
    expect(sweepRestMs(2, 0)).toBe(40);
    expect(sweepRestMs(2, 0.5)).toBe(20);
    expect(sweepRestMs(2, 1)).toBe(0);
    expect(sweepRestMs(2, 2)).toBe(0);
    const { done, work } = chores(3, 1);
    work.soon();
    vi.advanceTimersByTime(5);
    expect(done).toHaveLength(3);
  });

  test('does not rest when somebody waits for it, also one who comes during a rest', () => {
    const { done, told, work } = chores(5);
    work.soon();
    vi.advanceTimersByTime(2);
    expect(done).toHaveLength(1);
    work.settle();
    vi.advanceTimersByTime(6);
    expect(done).toHaveLength(5);
    expect(told).toEqual([{ kind: 'settled', fault: null }]);
  });

  test('is left as it is once the writer stops', () => {
    const { done, work } = chores(3);
    work.soon();
    vi.advanceTimersByTime(2);
    work.soon();
    work.stop();
    vi.runAllTimers();
    expect(done).toHaveLength(1);
  });

  test('old data go once it is done, and whoever asked is told', () => {
    const { left, told, work } = chores(2);
    work.retain({ rawDays: 1, thinnedDays: 0, runsDays: 0 } as never, 0);
    vi.advanceTimersByTime(1);
    expect(told).toEqual([]);
    vi.runAllTimers();
    expect(left.steps).toBe(0);
    expect(told).toEqual([{ kind: 'retained', fault: null }]);
  });

  test('rests after each step that takes old data away, so that others can write meanwhile', () => {
    const { log, told, work } = chores(0);
    const steps: number[] = [];
    log.retention = () => ({ step: () => steps.push(Date.now()) === 4 }) as never;
    work.retain({ rawDays: 1, thinnedDays: 0, runsDays: 0 } as never, 0);
    for (let at = 0; at < 1000; at++) {
      work.soon();
      vi.advanceTimersByTime(1);
    }
    expect(steps).toHaveLength(4);
    // SQLite asks for a lock that others have each 100 ms at the latest (sqliteDefaultBusyCallback).
    for (let step = 1; step < steps.length; step++) expect(steps[step]! - steps[step - 1]!).toBeGreaterThan(100);
    expect(told).toEqual([{ kind: 'retained', fault: null }]);
  });

  test('that fails is told, and so is whoever waits for it', () => {
    const { log, told, work } = chores(1);
    log.tidy = () => {
      throw new Error('no room');
    };
    work.soon();
    vi.runAllTimers();
    expect(told).toMatchObject([{ kind: 'trouble', fault: { code: null } }]);
    work.settle();
    work.retain({ rawDays: 1, thinnedDays: 0, runsDays: 0 } as never, 0);
    vi.runAllTimers();
    expect(told.slice(1)).toMatchObject([
      { kind: 'settled', fault: { message: expect.stringContaining('no room') } },
      { kind: 'retained', fault: { message: expect.stringContaining('no room') } },
    ]);
  });
});

test('six tails beyond the first are all that may gather', () => {
  const tailBytes = 1000;
  const log = new BatchLog(openDatabase(tempDir(), { create: true }), { tailBytes, quarantineBytes: 1000 });
  let bytes = 0;
  for (let number = 0; log.urgency < 1; number++) {
    const batch = new BatchBuilder();
    batch.add(killedPack(number));
    const written = batch.bytes();
    bytes += written.length;
    log.commit(written, null);
    expect(log.urgency).toBeCloseTo(Math.max(0, bytes - tailBytes) / (6 * tailBytes), 12);
  }
  while (!log.tidy(1000, false));
  expect(log.urgency).toBe(0);
  log.close();
});
