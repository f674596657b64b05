import { describe, expect, it } from 'vitest';
import { learnHidden } from '../../../analyzer/baseline/hidden-powder.ts';
import { PRIORS } from '../../../analyzer/baseline/pump-priors.ts';
import { noise } from '../runs/station-frames.ts';

const FRESH = 1 - (1 - PRIORS.hidden.chance) ** 2;
/** Variance of a block that is of other things than its powder. */
const REST = 0.0004;

/** What is believed after pauses that each bring what a powder of this deviation brings. */
function learnt(pauses: number, sd: number): number {
  const random = noise(3);
  let hidden = PRIORS.hidden.sd ** 2;
  for (let i = 0; i < pauses; i++) {
    // A uniform draw of this variance.
    const value = Math.sqrt(3 * (FRESH * sd * sd + REST)) * random();
    hidden = learnHidden(hidden, { value, variance: FRESH * hidden + REST });
  }
  return Math.sqrt(hidden);
}

describe('what powders do that nobody reads', () => {
  it('is found, where they do less than powders may', () => {
    expect(learnt(600, 0.08)).toBeGreaterThan(0.065);
    expect(learnt(600, 0.08)).toBeLessThan(0.095);
  });

  it('is never taken for nothing, nor for more than powders do', () => {
    expect(learnt(600, 0.001)).toBeCloseTo(0.05, 6);
    expect(learnt(600, 0.5)).toBeCloseTo(PRIORS.hidden.sd, 6);
  });
});
