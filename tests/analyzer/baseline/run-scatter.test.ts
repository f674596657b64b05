import { describe, expect, it } from 'vitest';
import { blockScatter, learnScatter, RUN_SCATTER } from '../../../analyzer/baseline/run-scatter.ts';
import { Random } from '../../../simulators/random.ts';

describe('the scatter of a gun’s runs', () => {
  /** Blocks of a gun whose runs scatter by `sd`, with the belief itself known to `state`. */
  const learn = (sd: number, state: number, blocks: number): number => {
    const random = new Random(3, 'scatter', sd);
    let scatter: number = RUN_SCATTER.first;
    for (let block = 0; block < blocks; block++) {
      const runs = random.integer(2, 20);
      const taken = blockScatter(scatter, runs, 0);
      const value = random.normal(0, Math.sqrt(state * state + (sd * sd) / runs));
      scatter = learnScatter(scatter, runs, { value, variance: state * state + taken }, taken);
    }
    return scatter;
  };

  it('is learnt from what blocks say, wider and narrower than it began', () => {
    expect(Math.sqrt(learn(0.09, 0.015, 1500))).toBeGreaterThan(0.078);
    expect(Math.sqrt(learn(0.09, 0.015, 1500))).toBeLessThan(0.102);
    expect(Math.sqrt(learn(0.04, 0.015, 1500))).toBeGreaterThan(0.03);
    expect(Math.sqrt(learn(0.04, 0.015, 1500))).toBeLessThan(0.05);
  });

  it('never falls below its least, and one odd block moves it little', () => {
    expect(learn(0, 0.015, 1500)).toBeGreaterThanOrEqual(RUN_SCATTER.least);
    expect(learn(0, 0.015, 1500)).toBeLessThan(0.03 ** 2);
    const odd = learnScatter(RUN_SCATTER.first, 20, { value: 1, variance: 0.001 }, RUN_SCATTER.first / 20);
    expect(odd / RUN_SCATTER.first).toBeLessThan(1.25);
  });

  it('is learnt within a shift or two where a scale tells, from pulls whose timing is rough', () => {
    const random = new Random(3, 'scale');
    let scatter: number = RUN_SCATTER.timed;
    for (let block = 1; block <= 40; block++) {
      const taken = blockScatter(scatter, 20, 0);
      const value = random.normal(0, Math.hypot(0.015, 0.04 / Math.sqrt(20)));
      scatter = learnScatter(
        scatter,
        20,
        { value, variance: 0.015 ** 2 + taken },
        taken,
        RUN_SCATTER.firstBlocks + block,
      );
    }
    expect(Math.sqrt(scatter)).toBeLessThan(0.1);
    expect(Math.sqrt(scatter)).toBeGreaterThan(0.03);
  });

  it('does not let two runs that agree by chance pass for a sure block, nor hides a block that scatters', () => {
    expect(blockScatter(0.0036, 2, 1e-5)).toBeCloseTo(0.0018, 6);
    expect(blockScatter(0.0036, 18, 0.01)).toBe(0.01);
  });
});
