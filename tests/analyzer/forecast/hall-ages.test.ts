import { describe, expect, it } from 'vitest';
import { hallAges, type MetInsert, SHARES } from '../../../analyzer/forecast/hall-ages.ts';

/** Chance of each way, in the order in which they are given: each at any age, all new, about 0.2, 0.4 and 0.6. */
function waysOf(inserts: MetInsert[]): number[] {
  const logs = hallAges(inserts).map(({ log }) => log);
  const weights = logs.map((log) => Math.exp(log - Math.max(...logs)));
  const total = weights.reduce((sum, weight) => sum + weight, 0);
  return weights.map((weight) => weight / total);
}
const times = (insert: MetInsert, guns: number): MetInsert[] => Array.from({ length: guns }, () => insert);

describe('the ages of the inserts of a hall', () => {
  it('are chances', () => {
    for (const { chances } of hallAges([])) expect(chances.reduce((sum, chance) => sum + chance, 0)).toBeCloseTo(1, 9);
  });

  it('go together or not, as believed before anything tells', () => {
    expect(waysOf([]).map((chance) => +chance.toFixed(3))).toEqual([0.6, 0.2, 0.067, 0.067, 0.067]);
  });

  it('were all new where changes brought back only what had worn since', () => {
    expect(waysOf(times({ kind: 'changed', lost: 0 }, 3))[1]).toBeGreaterThan(0.7);
    expect(waysOf(times({ kind: 'changed', lost: 0.12 }, 3))[1]).toBeLessThan(0.05);
  });

  it('were new where none is changed though all have worn by more than most have left', () => {
    const [few, many] = [0.1, 0.9].map((worn) => waysOf(times({ kind: 'in', worn }, 8))[1]!);
    expect(few).toBeLessThan(0.3);
    expect(many).toBeGreaterThan(0.8);
  });

  it('go each by itself where the log was kept from the start', () => {
    expect(waysOf([{ kind: 'new' }])[0]).toBeGreaterThan(0.9);
  });

  it('are smaller for an insert that is still in after long wear', () => {
    const meanOf = (worn: number): number => hallAges([{ kind: 'in', worn }])[0]!.stillIn[0]!.mean;
    // By hand: any of the steps up to 0.8 has the mean 0.4, and what has worn nothing may have any.
    expect(meanOf(-1)).toBeCloseTo(0.4, 3);
    expect(meanOf(0.8)).toBeLessThan(0.3);
    expect(hallAges([{ kind: 'new' }])[0]!.stillIn[0]).toBeNull();
    expect(SHARES[0]).toBeCloseTo(0.025, 9);
  });
});
