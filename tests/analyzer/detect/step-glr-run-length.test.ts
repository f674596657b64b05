import { describe, expect, it } from 'vitest';
import { Verdict } from '../../../analyzer/detect/detector.ts';
import { stepGlrRunLength } from '../../../analyzer/detect/run-length/step-glr-run-length.ts';
import { stepGlr } from '../../reference-detectors/step-glr.ts';
import { seededNormal } from '../../seeded-normal.ts';

describe('run length of the step likelihood ratio', () => {
  for (const [limit, window, direction, runs] of [
    [3, 50, 'up', 1000],
    [3.5, 50, 'up', 400],
    [3.5, 100, 'both', 600],
  ] as const)
    it(`agrees with ${runs} simulated runs at limit ${limit}, window ${window}, direction ${direction}`, () => {
      const normal = seededNormal(21);
      const settings = stepGlr.schema.parse({ limit, window, direction });
      let total = 0;
      for (let run = 0; run < runs; run++) {
        const state = stepGlr.init(settings);
        do total += 1;
        while (stepGlr.step(settings, state, normal()) !== Verdict.alarm);
      }
      const simulated = total / runs;
      const theory = stepGlrRunLength(limit, window, direction === 'both' ? 'two' : 'one');
      // Three standard errors of the simulation beside the stated 15 % of the approximation.
      expect(Math.abs(simulated / theory - 1)).toBeLessThan(0.15 + 3 / Math.sqrt(runs));
    });
});
