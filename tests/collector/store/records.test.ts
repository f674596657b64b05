import { afterEach, beforeEach, describe, expect, test } from 'vitest';
import { type Finding, type LogEntry, Settings } from '../../../collector/contract/index.ts';
import { openStore, type Store } from '../../../collector/index.ts';
import { tempDir } from './temp-dir.ts';

let dir: string;
let store: Store;
beforeEach(() => {
  dir = tempDir();
  store = openStore(dir, { create: true });
});
afterEach(() => store.close());

const change: LogEntry = {
  time: 1_760_000_000_000,
  gun: 'gun-01',
  part: 'pump-insert',
  action: 'replaced',
  found: 'worn',
  note: 'with "quotes", commas\nand lines',
};

describe('maintenance log', () => {
  test('an entry comes back with all its fields, and who recorded it when', () => {
    const { entry, added } = store.log.add(change, { recordedAt: 5, source: 'cli' });
    expect(added).toBe(true);
    expect(store.log.list()).toEqual([{ ...change, id: entry.id, recordedAt: 5, source: 'cli', who: '' }]);
    expect(store.log.lastId()).toBe(entry.id);
  });

  test('the same key again adds nothing and gives the entry of before', () => {
    const first = store.log.add(change, { recordedAt: 5, source: 'api', key: 'k-1' });
    const second = store.log.add({ ...change, note: '' }, { recordedAt: 9, source: 'api', key: 'k-1' });
    expect(second).toEqual({ entry: first.entry, added: false });
    store.log.add(change, { recordedAt: 9, source: 'api', key: 'k-2' });
    store.log.add(change, { recordedAt: 9, source: 'api' });
    store.log.add(change, { recordedAt: 9, source: 'api' });
    expect(store.log.list().length).toBe(4);
  });

  test('entries are listed by time, by gun, by span and by what came after an id', () => {
    for (const [gun, time] of [
      ['gun-01', 300],
      ['gun-02', 100],
      ['gun-01', 200],
    ] as const)
      store.log.add({ ...change, gun, time, found: null }, { recordedAt: 1, source: 'cli' });
    expect(store.log.list().map(({ time }) => time)).toEqual([100, 200, 300]);
    expect(store.log.list({ gun: 'gun-01' }).map(({ time }) => time)).toEqual([200, 300]);
    expect(store.log.list({ from: 100, to: 300 }).map(({ time }) => time)).toEqual([100, 200]);
    expect(store.log.list({ afterId: 1 }).map(({ id }) => id)).toEqual([2, 3]);
  });

  test('another connection sees an entry at once', () => {
    const other = openStore(dir);
    store.log.add(change, { recordedAt: 1, source: 'cli' });
    expect(other.log.lastId()).toBe(1);
    other.close();
  });
});

const finding = (over: Partial<Finding> = {}): Finding => ({
  gun: 'gun-01',
  cause: 'pump-insert',
  category: 'maintenance-required',
  onset: '2026-03-02T09:10:00Z',
  raised: '2026-03-09T13:25:00Z',
  asOf: '2026-03-11T06:00:00Z',
  cleared: null,
  candidates: [{ cause: 'pump-insert', probability: 0.86 }],
  excessAir: 0.118,
  remaining: { sprayHours: { p10: 22, p50: 37, p90: 61 } },
  evidence: ['conveying air needed for 180 g/min up 11.8 %'],
  ...over,
});
const AIR = finding({ gun: null, guns: ['gun-01', 'gun-02'], cause: 'supply-air', raised: '2026-03-08T00:00:00Z' });

describe('findings', () => {
  test('of each finding the last state is kept, newest raised first', () => {
    store.findings.save([AIR, finding()], 10);
    store.findings.save([finding({ excessAir: 0.13 })], 20);
    expect(store.findings.list()).toEqual([
      { finding: finding({ excessAir: 0.13 }), savedAt: 20, revisedAt: null, withdrawnAt: null },
      { finding: AIR, savedAt: 10, revisedAt: null, withdrawnAt: null },
    ]);
  });

  test('they are listed open, cleared, before a time, and so many', () => {
    const cleared = finding({ cause: 'pump-seals', cleared: '2026-03-10T00:00:00Z' });
    store.findings.save([AIR, finding(), cleared], 10);
    const causes = (filter: Parameters<Store['findings']['list']>[0]): string[] =>
      store.findings.list(filter).map((kept) => kept.finding.cause);
    expect(causes({ open: true })).toEqual(['pump-insert', 'supply-air']);
    expect(causes({ open: false })).toEqual(['pump-seals']);
    expect(causes({ limit: 1 })).toEqual(['pump-insert']);
    expect(causes({ before: Date.parse(finding().raised) })).toEqual(['supply-air']);
    expect(causes({ before: Date.parse(finding().raised) + 1 }).length).toBe(3);
  });

  test('late data withdraws and revises, and a later save brings back', () => {
    store.findings.save([finding()], 10);
    store.findings.withdraw([finding()], 20);
    expect(store.findings.list()).toEqual([]);
    expect(store.findings.list({ withdrawn: true })[0]).toMatchObject({ withdrawnAt: 20 });
    store.findings.save([finding({ excessAir: 0.2 })], 30, true);
    expect(store.findings.list()[0]).toMatchObject({ savedAt: 30, revisedAt: 30, withdrawnAt: null });
    store.findings.save([finding()], 40);
    expect(store.findings.list()[0]).toMatchObject({ savedAt: 40, revisedAt: 30 });
  });
});

describe('journal', () => {
  test('it keeps what was shown and when, and marks what late data made untrue', () => {
    const early = finding({ asOf: '2026-03-09T14:00:00Z' });
    store.journal.append([early, AIR], 10);
    store.journal.append([finding()], 20);
    expect(store.journal.revise('gun-01', Date.parse('2026-03-10T00:00:00Z'), 30)).toBe(1);
    expect(store.journal.list()).toEqual([
      { id: 1, shownAt: 10, finding: early, revisedAt: null },
      { id: 2, shownAt: 10, finding: AIR, revisedAt: null },
      { id: 3, shownAt: 20, finding: finding(), revisedAt: 30 },
    ]);
    expect(store.journal.list({ gun: null }).map(({ id }) => id)).toEqual([2]);
    expect(store.journal.list({ afterId: 1, limit: 1 }).map(({ id }) => id)).toEqual([2]);
    expect(store.journal.revise(undefined, 0, 40)).toBe(2);
    expect(store.journal.list().map(({ revisedAt }) => revisedAt)).toEqual([40, 40, 30]);
  });
});

test('states are kept by key, listed by prefix, and gone when deleted', () => {
  store.states.put('a/1', Uint8Array.of(1, 2));
  store.states.put('a/2', Uint8Array.of(3));
  store.states.put('a%', Uint8Array.of(4));
  store.states.put('a/1', Uint8Array.of(0, 255));
  expect([...(store.states.get('a/1') ?? [])]).toEqual([0, 255]);
  expect(store.states.keys('a/')).toEqual(['a/1', 'a/2']);
  expect(store.states.keys()).toEqual(['a%', 'a/1', 'a/2']);
  store.states.delete('a/1');
  expect(store.states.get('a/1')).toBeNull();
});

test('settings have versions that follow each other in time', () => {
  const first = store.settings.add(Settings.parse({}), { adopted: 0, recordedAt: 1, who: 'demo', why: 'start' });
  const settings = Settings.parse({ leadTimeShifts: 5, overrides: [{ gun: 'gun-03', changeLimitExcessAir: 0.15 }] });
  const second = store.settings.add(settings, { adopted: 100, recordedAt: 101, who: 'cli', why: 'file differs' });
  expect([first.version, second.version]).toEqual([1, 2]);
  expect(store.settings.list()).toEqual([first, second]);
  expect(second.settings).toEqual(settings);
  expect(() => store.settings.add(settings, { adopted: 99, recordedAt: 1, who: '', why: '' })).toThrow(
    'settings adopted at 99 ms: before version 2, which was adopted at 100 ms',
  );
});

test('retained messages are kept by topic, and an empty one removes its topic', () => {
  store.broker.putRetained([
    { topic: 'airlines/h/gun-01/condition', payload: Buffer.from('{}'), qos: 1 },
    { topic: 'airlines/h/gun-02/condition', payload: Buffer.from('1'), qos: 0 },
  ]);
  store.broker.putRetained([{ topic: 'airlines/h/gun-01/condition', payload: Buffer.alloc(0), qos: 1 }]);
  const kept = store.broker.retained().map(({ topic, payload, qos }) => [topic, Buffer.from(payload).toString(), qos]);
  expect(kept).toEqual([['airlines/h/gun-02/condition', '1', 0]]);
});

test('writes of a transaction stand or fall together', () => {
  const body = (): void =>
    store.transaction(() => {
      store.states.put('x', Uint8Array.of(1));
      store.findings.save([finding()], 1);
      throw new Error('no');
    });
  expect(body).toThrow('no');
  expect(store.states.get('x')).toBeNull();
  expect(store.findings.list()).toEqual([]);
  store.transaction(() => store.states.put('x', Uint8Array.of(1)));
  expect(store.states.get('x')).not.toBeNull();
});
