import { describe, expect, it, onTestFinished } from 'vitest';
import type { LogEntry } from '../../../collector/contract/log-entry.ts';
import { openStore } from '../../../collector/store/embedded.ts';
import type { Store } from '../../../collector/store/store.ts';
import { tempDir } from './temp-dir.ts';

function open(): Store {
  const store = openStore(tempDir(), { create: true });
  onTestFinished(() => store.close());
  return store;
}

const change: LogEntry = { time: 100, gun: 'gun-01', part: 'pump-insert', action: 'replaced', found: 'worn', note: '' };
const record = { recordedAt: 5, source: 'api', who: 'Ann' };

describe('a correction of the log', () => {
  it('takes an entry out of what counts and keeps it on record', () => {
    const { log } = open();
    const { entry } = log.add(change, record);
    const made = log.correct(entry.id, { ...record, recordedAt: 9, who: 'Bo', why: 'wrong gun', replacement: null });
    expect(made).toMatchObject({ entry: entry.id, replacement: null, at: 9, who: 'Bo', why: 'wrong gun' });
    expect(log.list()).toEqual([]);
    expect(log.history()).toEqual([entry]);
    expect(log.corrections()).toEqual([made]);
    expect(log.corrections(made.id)).toEqual([]);
  });

  it('puts another entry in its place', () => {
    const { log } = open();
    const { entry } = log.add(change, record);
    const { replacement } = log.correct(entry.id, { ...record, why: '', replacement: { ...change, gun: 'gun-02' } });
    expect(log.list().map(({ id, gun, who }) => ({ id, gun, who }))).toEqual([
      { id: replacement, gun: 'gun-02', who: 'Ann' },
    ]);
  });

  it('is refused the second time, naming who was first, unless it is the same one sent again', () => {
    const { log } = open();
    const { entry } = log.add(change, record);
    const asked = { ...record, key: 'k', why: '', replacement: { ...change, gun: 'gun-02' } };
    const first = log.correct(entry.id, asked);
    expect(log.correct(entry.id, asked)).toEqual(first);
    expect(() => log.correct(entry.id, { ...asked, key: 'other' })).toThrow(/entry 1 was taken back already .* by Ann/);
    expect(() => log.correct(77, asked)).toThrow('the log has no entry 77');
    expect(log.list().length).toBe(1);
  });
});

describe('the ledger of the shelf', () => {
  const move = {
    time: 50,
    part: 'nozzle',
    kind: 'counted',
    quantity: 4,
    note: '',
    recordedAt: 60,
    who: 'Ann',
  } as const;

  it('keeps lines by time and writes one of the same key once', () => {
    const { stock } = open();
    const late = stock.add({ ...move, time: 70 }).move;
    const early = stock.add(move, 'k').move;
    expect(stock.add(move, 'k')).toEqual({ move: early, added: false });
    expect(stock.list('nozzle')).toEqual([early, late]);
    expect(stock.list('gun-tube')).toEqual([]);
  });

  it('marks a line that is taken back, once', () => {
    const { stock } = open();
    const { move: line } = stock.add(move);
    expect(stock.undo(line.id, { at: 80, who: 'Bo' })).toMatchObject({ undoneAt: 80, undoneBy: 'Bo' });
    expect(stock.list()).toMatchObject([{ id: line.id, undoneAt: 80, undoneBy: 'Bo' }]);
    expect(() => stock.undo(line.id, { at: 90, who: 'Cy' })).toThrow(/taken back already .* by Bo/);
  });
});

describe('stated figures', () => {
  it('are versions, and a writer who has not seen the newest is refused', () => {
    const { figures } = open();
    figures.state('costs', { price: 1 }, { seen: 0, recordedAt: 1, who: 'Ann' });
    const second = figures.state('costs', { price: 2 }, { seen: 1, recordedAt: 2, who: 'Bo' });
    expect(() => figures.state('costs', { price: 3 }, { seen: 1, recordedAt: 3, who: 'Ann' })).toThrow(
      /was version 1, and Bo stated version 2/,
    );
    figures.state('item:nozzle', {}, { seen: 0, recordedAt: 4, who: '' });
    expect(figures.current('costs')).toEqual(second);
    expect(figures.currentOf('item:').map(({ subject }) => subject)).toEqual(['item:nozzle']);
    expect(figures.history({ from: 2 }).map(({ version }) => version)).toEqual([2, 1]);
  });
});

describe('the outbox', () => {
  const message = { key: 'a', target: 'mail', kind: 'finding', body: { text: 'x' }, createdAt: 1, dueAt: 10 };

  it('takes a message once and hands it out when it is due', () => {
    const { outbox } = open();
    expect(outbox.put(message)).toBe(true);
    expect(outbox.put(message)).toBe(false);
    expect(outbox.due('mail', 9, 5)).toEqual([]);
    expect(outbox.due('webhook:x', 10, 5)).toEqual([]);
    expect(outbox.due('mail', 10, 5)).toMatchObject([{ body: { text: 'x' }, attempts: 0, state: 'waiting' }]);
  });

  it('tries again later, gives up when told, and forgets what ended', () => {
    const { outbox } = open();
    outbox.put(message);
    const { id } = outbox.due('mail', 10, 1)[0]!;
    outbox.failed(id, 'no answer', 11, 40);
    expect(outbox.due('mail', 39, 1)).toEqual([]);
    expect(outbox.due('mail', 40, 1)).toMatchObject([{ attempts: 1, lastFault: 'no answer' }]);
    outbox.failed(id, 'refused', 41, null);
    outbox.put({ ...message, key: 'b' });
    expect(outbox.counts()).toEqual({ waiting: 1, sent: 0, failed: 1 });
    expect(outbox.forget(41)).toBe(0);
    expect(outbox.forget(42)).toBe(1);
    expect(outbox.list().map(({ key }) => key)).toEqual(['b']);
  });
});
