import { describe, expect, it } from 'vitest';
import type { Block } from '../../../analyzer/baseline/block.ts';
import { learnBlock } from '../../../analyzer/baseline/learn-block.ts';
import { beginLot, hearLot, isShared, movedWithLot, noteMoved } from '../../../analyzer/baseline/lot-heard.ts';
import { emptyPumpPool, ensurePowder, type PumpPool, type PumpPowder } from '../../../analyzer/baseline/pump-pool.ts';
import { PRIORS } from '../../../analyzer/baseline/pump-priors.ts';

const START = Date.UTC(2026, 2, 2, 6);
const NOW = START + 7_200_000;

/** A powder whose lot is believed to give 0.15 less (ln output) than the one before. */
function badLot(): { pool: PumpPool; powder: PumpPowder } {
  const pool = emptyPumpPool();
  const powder = ensurePowder(pool, { powder: 'p-1', start: START } as unknown as Block);
  beginLot(powder, 0, false, NOW);
  pool.gaussian.mean[powder.lot] = -0.15;
  return { pool, powder };
}

/** ln of the normal density, as any textbook has it. */
const lnDensity = (x: number, mean: number, variance: number): number =>
  -0.5 * Math.log(2 * Math.PI * variance) - (x - mean) ** 2 / (2 * variance);

describe('what guns say of a lot that was taken in', () => {
  it('is the likelihood ratio of having moved with it or not', () => {
    const { pool, powder } = badLot();
    const [value, variance] = [0.03, 0.01];
    hearLot(pool, powder, 'gun-01', { value, variance });
    // A gun that stayed gives 0.15 more than is believed of it now.
    expect(powder.lotHeard['gun-01']!.odds).toBeCloseTo(
      lnDensity(value, 0, variance) - lnDensity(value, 0.15, variance),
      12,
    );
  });

  it('counts the first three blocks of a gun, and no outlier for much', () => {
    const { pool, powder } = badLot();
    for (let block = 0; block < 9; block++) hearLot(pool, powder, 'gun-01', { value: 9, variance: 0.01 });
    expect(powder.lotHeard['gun-01']).toEqual({ odds: -6, blocks: 3 });
  });

  it('shares a lot once a second gun has moved, and dates it when it was taken in', () => {
    const { pool, powder } = badLot();
    noteMoved(powder, 'gun-01');
    expect(isShared(powder)).toBe(false);
    hearLot(pool, powder, 'gun-02', { value: 0, variance: 0.005 });
    expect(movedWithLot(powder)).toEqual(['gun-01', 'gun-02']);
    expect(powder.lotSince).toBe(NOW);
  });

  it('shares none that most guns did not move with', () => {
    const { pool, powder } = badLot();
    noteMoved(powder, 'gun-01');
    noteMoved(powder, 'gun-02');
    for (const gun of ['gun-03', 'gun-04']) hearLot(pool, powder, gun, { value: 0.15, variance: 0.005 });
    expect(isShared(powder)).toBe(false);
  });

  it('hears nothing before a lot was taken in, nor of lots that differ by little', () => {
    const { pool, powder } = badLot();
    pool.gaussian.mean[powder.lot] = -0.02;
    hearLot(pool, powder, 'gun-01', { value: 0, variance: 0.005 });
    pool.gaussian.mean[powder.lot] = -0.15;
    powder.lotTaken = 0;
    hearLot(pool, powder, 'gun-01', { value: 0, variance: 0.005 });
    expect(powder.lotHeard).toEqual({});
  });
});

/** Four guns take turns of two hours with two powders, four a day; from the seventh day on, the guns of `losers` lose 16 % with the first. */
function hall(losers: readonly number[]): PumpPool {
  const pool = emptyPumpPool();
  for (let turn = 0; turn < 32; turn++)
    for (let block = 0; block < 8; block++)
      for (let gun = 0; gun < 4; gun++) {
        // One gun begins a campaign after the other: the first alone tells of its lot for half an hour.
        const powder = (turn + (block >= 2 * gun ? 0 : 1)) % 2 === 0 ? 'p-1' : 'p-2';
        const end = START + Math.floor(turn / 4) * 86_400_000 + (8 * (turn % 4) + block + 1) * 900_000 + gun * 60_000;
        const lost = turn >= 24 && powder === 'p-1' && losers.includes(gun) ? 0.17 : 0;
        const noise = 0.012 * ((((8 * turn + block + 3 * gun) * 7) % 5) - 2);
        learnBlock(
          pool,
          {
            ...{ gun: `gun-0${gun + 1}`, powder, start: end - 900_000, end, runs: 20, minutes: 8, kilograms: 1.2 },
            ...{ flow: Math.log(2), output: Math.log(150) + noise - lost, outputVariance: 1e-4 },
            supplementary: Number.NaN,
          } as unknown as Block,
          'measured',
          { mean: 0, sd: PRIORS.newWear },
        );
      }
  return pool;
}

describe('a bad lot that guns come to one after the other', () => {
  it('is shared, and is the lot of that powder alone', () => {
    const { powders, gaussian } = hall([0, 1, 2, 3]);
    const [first, second] = [powders['p-1']!, powders['p-2']!];
    expect(isShared(first)).toBe(true);
    expect(first.lotBefore - gaussian.mean[first.lot]!).toBeGreaterThan(0.1);
    expect(second.lotSince).toBe(0);
  });

  it('is not what one gun loses', () => {
    expect(isShared(hall([0]).powders['p-1']!)).toBe(false);
  });
});
