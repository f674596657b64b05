import { expect, test } from 'vitest';
import { type CheckpointStore, Checkpoints } from '../../../analyzer/live/checkpoints.ts';

const HOUR_MS = 3_600_000;
const NOW = Date.UTC(2026, 4, 4);

class StoreInMemory implements CheckpointStore {
  readonly rows = new Map<string, Uint8Array>();
  get = (key: string): Uint8Array | null => this.rows.get(key) ?? null;
  put = (key: string, bytes: Uint8Array): void => void this.rows.set(key, bytes);
  delete = (key: string): void => void this.rows.delete(key);
  keys = (prefix = ''): string[] => [...this.rows.keys()].filter((key) => key.startsWith(prefix)).sort();
}

interface Counted {
  readonly at: number;
  readonly air: Float64Array;
}
const stateAt = (at: number): Counted => ({ at, air: new Float64Array(20).map((_, index) => Math.sin(at + index)) });

/** Follows readings for so many days, written down once an hour of reading time. */
function follow(days: number): { points: Checkpoints<Counted>; store: StoreInMemory; most: number; newest: number } {
  const store = new StoreInMemory();
  const points = new Checkpoints<Counted>('live/site/', () => NOW);
  points.load(store);
  let [most, newest] = [0, NOW];
  for (let quarter = 0; quarter < days * 96; quarter++) {
    newest = NOW + quarter * 15 * 60_000;
    if (newest >= points.dueAfter(newest)) points.add(newest, stateAt(newest), newest);
    if (quarter % 4 === 0) points.flush(store, newest);
    most = Math.max(most, points.heldBytes);
  }
  return { points, store, most, newest };
}

test('a long history takes no more memory than a short one', () => {
  const [week, season] = [follow(7), follow(120)];
  expect(season.store.rows.size).toBeGreaterThan(week.store.rows.size + 10);
  expect(week.most).toBeGreaterThan(0);
  expect(season.most).toBeLessThanOrEqual(1.05 * week.most);
});

test('ten times the age keeps hardly more states', () => {
  const points = new Checkpoints<Counted>('live/site/', () => NOW);
  const kept: number[] = [];
  for (let day = 0; day <= 3650; day++) {
    const time = NOW + day * 24 * HOUR_MS;
    points.add(time, stateAt(time), time);
    if (day === 365 || day === 3650) kept.push(points.times.length);
  }
  expect(kept[1]! - kept[0]!).toBeLessThan(30);
  // Whoever goes back goes back hardly further than he has to.
  const newest = NOW + 3650 * 24 * HOUR_MS;
  for (const days of [40, 200, 1000, 3000]) {
    const from = newest - days * 24 * HOUR_MS;
    expect(from - points.before(from)!.time).toBeLessThanOrEqual(Math.max(7, days / 6) * 24 * HOUR_MS);
  }
});

test('what memory has let go of is read back, also by the next process', () => {
  const { points, store, newest } = follow(30);
  points.flush(store, newest + 2 * HOUR_MS);
  expect(points.heldBytes).toBe(0);
  const again = new Checkpoints<Counted>('live/site/', () => NOW);
  again.load(store);
  for (const time of [newest + 1, newest - 5 * HOUR_MS, NOW + 9 * 24 * HOUR_MS]) {
    const found = points.before(time)!;
    expect(found.time).toBeLessThan(time);
    expect(found.state).toEqual(stateAt(found.time));
    expect(again.before(time)).toEqual(found);
  }
  expect(points.before(NOW)).toBeNull();
});

test('what was forgotten goes from the store too, and one that the store has lost counts for nothing', () => {
  const { points, store, newest } = follow(3);
  points.flush(store, newest + 2 * HOUR_MS);
  const last = points.before(newest - 12 * HOUR_MS)!;
  points.dropFrom(newest - 12 * HOUR_MS);
  points.flush(store, newest);
  expect(store.keys().map((key) => Number(key.slice('live/site/'.length)))).not.toContain(newest);
  expect(points.before(Number.POSITIVE_INFINITY)).toEqual(last);
  store.delete(`live/site/${String(last.time).padStart(15, '0')}`);
  expect(points.before(Number.POSITIVE_INFINITY)!.time).toBeLessThan(last.time);
});
