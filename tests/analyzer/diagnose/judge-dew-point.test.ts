import { describe, expect, it } from 'vitest';
import { emptyPumpPool } from '../../../analyzer/baseline/pump-pool.ts';
import { emptyBook } from '../../../analyzer/diagnose/finding-book.ts';
import { isWet, judgeDewPoint } from '../../../analyzer/diagnose/judge-dew-point.ts';
import type { StationFact } from '../../../analyzer/index.ts';
import { Plant } from '../../../collector/contract/index.ts';

const START = Date.UTC(2026, 2, 2, 6);
const HOUR = 3_600_000;

const wet = (station: string): StationFact & { readonly kind: 'wet-air' } => ({
  ...{ kind: 'wet-air', station, time: START, noticed: START + HOUR / 4, until: null },
  ...{ dewpointCel: 17, usualCel: 3 },
});

function hall(air: { readonly id: string; readonly supply?: string }[]) {
  const plant = Plant.parse({
    site: { id: 'hall-2', timezone: 'Europe/Vienna' },
    guns: [
      { id: 'gun-01', supply: 'line-a' },
      { id: 'gun-02', supply: 'line-a' },
      { id: 'gun-03', supply: 'line-b' },
    ],
    air,
  });
  const book = emptyBook();
  const pool = emptyPumpPool();
  const at = (hours: number, facts: (StationFact & { readonly kind: 'wet-air' })[]) =>
    judgeDewPoint({ plant, guns: {}, book, now: START + hours * HOUR, told: [] }, facts, [pool]);
  return { book, at };
}

describe('wet air', () => {
  it('is a trouble of all guns of its line and of no part', () => {
    const { book, at } = hall([{ id: 'dryer-1', supply: 'line-a' }]);
    at(1, [wet('dryer-1')]);
    expect(book.open).toHaveLength(1);
    expect(book.open[0]).toMatchObject({
      ...{ gun: null, guns: ['gun-01', 'gun-02'], cause: 'supply-air', category: 'out-of-specification' },
      onset: START,
    });
    expect([isWet(book, 'gun-01'), isWet(book, 'gun-03')]).toEqual([true, false]);
  });

  it('is one finding where two stations of the line see it, and lasts as long as one does', () => {
    const { book, at } = hall([
      { id: 'dryer-1', supply: 'line-a' },
      { id: 'tank-1', supply: 'line-a' },
    ]);
    at(1, [wet('dryer-1')]);
    at(2, [wet('dryer-1'), wet('tank-1')]);
    at(3, [wet('tank-1')]);
    expect([book.open.length, book.closed.length]).toEqual([1, 0]);
    at(4, []);
    expect([book.open.length, book.closed.length]).toEqual([0, 1]);
  });

  it('before the lines part is a trouble of the whole hall', () => {
    const { book, at } = hall([{ id: 'compressor' }]);
    at(1, [wet('compressor')]);
    expect(book.open[0]!.guns).toEqual(['gun-01', 'gun-02', 'gun-03']);
  });
});
