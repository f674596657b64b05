import { describe, expect, it } from 'vitest';
import type { Block } from '../../../analyzer/baseline/block.ts';
import { learnBlock } from '../../../analyzer/baseline/learn-block.ts';
import { emptyPumpPool, type PumpPool } from '../../../analyzer/baseline/pump-pool.ts';
import { PRIORS } from '../../../analyzer/baseline/pump-priors.ts';
import { movedAlike, othersMoved } from '../../../analyzer/baseline/shared-starts.ts';

const START = Date.UTC(2026, 2, 2, 6);
const GUNS = ['gun-01', 'gun-02', 'gun-03', 'gun-04'];
const QUARTER = 900_000;

/** Four guns of a line, two powders, a block of each gun every quarter of an hour; each loses what `lost` says then. */
function line(rounds: number, lost: (gun: number, round: number) => number): PumpPool {
  const pool = emptyPumpPool();
  for (let round = 0; round < rounds; round++)
    for (const [gun, id] of GUNS.entries()) {
      const end = START + round * QUARTER + gun * 60_000;
      const noise = 0.012 * ((((round + 3 * gun) * 7) % 5) - 2);
      learnBlock(
        pool,
        {
          ...{
            gun: id,
            powder: gun < 2 ? 'p-1' : 'p-2',
            start: end - QUARTER,
            end,
            runs: 20,
            minutes: 8,
            kilograms: 1.2,
          },
          ...{ flow: Math.log(2), output: Math.log(150) + noise - lost(gun, round), outputVariance: 1e-4 },
          supplementary: Number.NaN,
        } as unknown as Block,
        'measured',
        { mean: 0, sd: PRIORS.newWear },
      );
    }
  return pool;
}

describe('a loss of a whole line', () => {
  it('is found and dated after a long time without one, whatever the powder', () => {
    const { common, gaussian, site } = line(80, (_, round) => (round >= 70 ? 0.1 : 0));
    expect(common.taken).toBeGreaterThan(START + 69 * QUARTER);
    expect(Math.abs(common.onset - (START + 70 * QUARTER))).toBeLessThan(3 * QUARTER);
    expect(gaussian.mean[site]).toBeLessThan(-0.05);
  });

  it('is not what one gun loses alone, however much', () => {
    expect(line(80, (gun, round) => (gun === 1 && round >= 70 ? 0.3 : 0)).common.taken).toBe(0);
  });

  it('is not what the guns of one powder lose: that is its lot', () => {
    expect(line(80, (gun, round) => (gun < 2 && round >= 70 ? 0.1 : 0)).common.taken).toBe(0);
  });
});

describe('what guns say of a step', () => {
  const a = { id: 'a', sum: -6, blocks: 2 };
  const b = { id: 'b', sum: -2.3, blocks: 2 };
  const c = { id: 'c', sum: 0.4, blocks: 4 };
  const d = { id: 'd', sum: -3, blocks: 1 };
  const said = [a, b, c, d];
  const moved = [a, b, { ...c, sum: -3 }, d];

  it('counts those heard twice, and only where most of them moved', () => {
    expect(movedAlike(said, 1)).toBe(0);
    expect(movedAlike(moved, 1)).toBe(3);
    expect(movedAlike(moved, -1)).toBe(0);
  });

  it('is no step of all where the loudest speaks for the others', () => {
    expect(othersMoved(said, 1)).toBe(false);
    expect(othersMoved([a, { ...b, sum: -4 }, { ...c, sum: -3, blocks: 2 }], 1)).toBe(true);
  });
});
