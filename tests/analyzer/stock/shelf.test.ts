import { describe, expect, it } from 'vitest';
import { type ShelfMove, shelfOf } from '../../../analyzer/stock/shelf.ts';
import type { LogEntry } from '../../../collector/contract/index.ts';

const move = (time: number, kind: ShelfMove['kind'], quantity: number): ShelfMove => ({ time, kind, quantity });
const change = (time: number, part = 'pump-insert', action: LogEntry['action'] = 'replaced'): LogEntry => ({
  time,
  gun: 'gun-01',
  part,
  action,
  found: null,
  note: '',
});
const onHand = (moves: ShelfMove[], log: LogEntry[], perChange = 1): number | null =>
  shelfOf('pump-insert', moves, log, perChange).shelf.onHand;

describe('the shelf', () => {
  it('is not known before it was counted or filled', () => {
    expect(onHand([], [change(5)])).toBeNull();
    expect(onHand([move(1, 'ordered', 4)], [])).toBeNull();
  });

  it('gives one for each change of that part, and for nothing else', () => {
    const log = [change(5), change(6), change(7, 'nozzle'), change(8, 'pump-insert', 'inspected')];
    expect(onHand([move(1, 'counted', 6)], log)).toBe(4);
    expect(onHand([move(1, 'counted', 6)], log, 2)).toBe(2);
  });

  it('has again what a correction gives back, because the entry counts no more', () => {
    expect(onHand([move(1, 'counted', 6)], [change(5)])).toBe(5);
    expect(onHand([move(1, 'counted', 6)], [])).toBe(6);
  });

  it('goes by the time of what happened: a change from before a count is in the count', () => {
    expect(onHand([move(10, 'counted', 3)], [change(9), change(10), change(11)])).toBe(2);
  });

  it('falls below nothing where more was used than was there, until the next count', () => {
    const moves = [move(1, 'counted', 1)];
    expect(onHand(moves, [change(2), change(3)])).toBe(-1);
    expect(onHand([...moves, move(4, 'counted', 0)], [change(2), change(3)])).toBe(0);
  });

  it('takes deliveries off what is on order, and tells each step', () => {
    const moves = [move(1, 'counted', 2), move(2, 'ordered', 5), move(4, 'delivered', 3), move(5, 'taken', 1)];
    const { shelf, steps } = shelfOf('pump-insert', moves, [change(3)], 1);
    expect(shelf).toEqual({ onHand: 3, onOrder: 2, countedAt: 1, usedSinceCount: 1 });
    expect(steps.map(({ kind, change: by, onHand: after }) => [kind, by, after])).toEqual([
      ['counted', 2, 2],
      ['ordered', 0, 2],
      ['used', -1, 1],
      ['delivered', 3, 4],
      ['taken', -1, 3],
    ]);
  });
});
