import { expect, test } from 'vitest';
import type { Block } from '../../../analyzer/baseline/block.ts';
import { learnBlock } from '../../../analyzer/baseline/learn-block.ts';
import { emptyPumpPool } from '../../../analyzer/baseline/pump-pool.ts';
import { PRIORS } from '../../../analyzer/baseline/pump-priors.ts';

const START = Date.UTC(2026, 2, 2, 6);
const QUARTER = 900_000;

/** A hall of one gun whose recipes ask for 150, 160 and 170 g/min, with the same air for all of them: a hand that never turned it. */
function elasticityOf(kind: 'setpoint' | 'measured'): number {
  const pool = emptyPumpPool();
  for (let at = 0; at < 300; at++) {
    const start = START + at * QUARTER;
    learnBlock(
      pool,
      {
        ...{ gun: 'gun-01', powder: 'p-1', start, end: start + QUARTER / 2, runs: 20, minutes: 7, kilograms: 1 },
        ...{ flow: Math.log(2 + 0.4 * Math.sin(at)), output: Math.log([150, 160, 170][at % 3]!), outputVariance: 1e-4 },
        ...{ supplementary: Number.NaN },
      } as unknown as Block,
      kind,
      { mean: 0, sd: PRIORS.newWear },
    );
  }
  const { mean } = pool.gaussian;
  return mean[pool.elasticity]! + mean[pool.guns['gun-01']!.elasticity]!;
}

test('air that a hand set wrong for its recipes does not flatten the curve of a set output beyond what pumps do', () => {
  expect(elasticityOf('setpoint')).toBeGreaterThan(1.05);
  expect(elasticityOf('measured')).toBeLessThan(0.9);
});
