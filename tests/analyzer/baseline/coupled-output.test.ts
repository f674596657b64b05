import { describe, expect, it } from 'vitest';
import type { Block } from '../../../analyzer/baseline/block.ts';
import { asAsked, learnShown } from '../../../analyzer/baseline/coupled-output.ts';
import { excessAirOf } from '../../../analyzer/baseline/excess-air.ts';
import { type GunMemory, newGunMemory } from '../../../analyzer/baseline/gun-memory.ts';
import { learnBlock } from '../../../analyzer/baseline/learn-block.ts';
import { emptyPumpPool, type PumpPool } from '../../../analyzer/baseline/pump-pool.ts';
import { PRIORS } from '../../../analyzer/baseline/pump-priors.ts';
import { wearInsert } from '../../../analyzer/baseline/pump-wear.ts';

const START = Date.UTC(2026, 2, 2, 6);
/** d ln output / d ln air of the pump in these tests. */
const ELASTICITY = 1.6;
/** ln of the other recipes over the usual one; a fifth of all blocks are theirs. */
const OTHERS = [-0.25, 0.25];

/** Sprays blocks of 8 minutes of a gun whose operator holds the output while the insert loses so much (ln) by the end. */
function spray(blocks: number, loss: number): { memory: GunMemory; pool: PumpPool } {
  const memory = newGunMemory('gun-01', 'coupled');
  const pool = emptyPumpPool();
  for (let at = 0; at < blocks; at++) {
    const recipe = at % 5 === 4 ? OTHERS[(at / 5) & 1]! : 0;
    const rise = (loss * at) / blocks + recipe;
    const start = START + at * 20 * 60_000;
    const block = {
      ...{ gun: 'gun-01', powder: 'p-1', start, end: start + 8 * 60_000, runs: 20, minutes: 8, kilograms: 1.2 },
      ...{ flow: Math.log(2) + rise / ELASTICITY, output: Math.log(150) + rise, outputVariance: 1e-5 },
      ...{ supplementary: 1.5, pressure: 2 },
    } as unknown as Block;
    wearInsert(pool, 'gun-01', 'p-1', block.kilograms, block.flow, 8 / 60);
    learnShown(pool, block);
    learnBlock(pool, asAsked(memory, block), 'coupled', { mean: 0, sd: PRIORS.newWear });
  }
  return { memory, pool };
}

const excessOf = ({ memory, pool }: ReturnType<typeof spray>) => excessAirOf(pool, 'gun-01', 'p-1', memory.recipe!)!;

describe('a coupled output', () => {
  it('shows the air that an operator adds as the insert wears, though its own number rises with it', () => {
    const { wear, wearSd } = excessOf(spray(240, 0.25));
    expect(wear).toBeGreaterThan(0.6 * (0.25 / ELASTICITY));
    expect(wear).toBeLessThan(1.4 * (0.25 / ELASTICITY));
    expect(wearSd).toBeLessThan(0.06);
  });

  it('stays near nothing where the air stays', () => {
    expect(excessOf(spray(240, 0)).wear).toBeLessThan(0.05);
  });

  it('tells the curve of the new pump to the digit', () => {
    expect(excessOf(spray(240, 0.25)).elasticity).toBeCloseTo(ELASTICITY, 0);
  });

  it('stands for one recipe, what it showed first', () => {
    const { memory } = spray(3, 0.2);
    expect(memory.recipe).toBe(Math.log(150));
  });
});
