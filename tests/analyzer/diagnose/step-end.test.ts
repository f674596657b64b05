import { describe, expect, it } from 'vitest';
import { resetQuantity, varianceOf } from '../../../analyzer/baseline/gaussian-state.ts';
import { judgeStep } from '../../../analyzer/diagnose/judge-step.ts';
import { START, stepBench } from './step-bench.ts';

/** A worn insert's loss as believed, ln of output, and a gain of which a chart told: what is believed two spray hours on. */
function afterGain(wear: number, wearSd: number, gain: number, step: object = {}) {
  const made = stepBench({ upward: true, ...step });
  const bench = made.look(2.5, -gain);
  const gun = bench.pool.guns['gun-01']!;
  resetQuantity(bench.pool.gaussian, gun.wear, wear, wearSd ** 2);
  judgeStep(bench);
  return {
    insert: made.memory.insert,
    wear: bench.pool.gaussian.mean[gun.wear]!,
    sd: Math.sqrt(varianceOf(bench.pool.gaussian, gun.wear)),
  };
}

describe('a gain that stays', () => {
  it('is a new insert where it gives back as much as the loss may well have been', () => {
    const { insert, wear, sd } = afterGain(0.26, 0.075, 0.17);
    expect(insert).toMatchObject({ since: START, logged: false, kilograms: 0 });
    expect(wear).toBeCloseTo(0, 6);
    expect(sd).toBeLessThan(0.05);
  });

  it('is none where it gives back a third of a loss that is well known, or the insert had hardly worn', () => {
    expect(afterGain(0.3, 0.03, 0.1).wear).toBeGreaterThan(0.2);
    expect(afterGain(0.08, 0.02, 0.17).insert.since).toBeNull();
  });

  it('needs more where another powder came with it, or other guns gained too', () => {
    expect(afterGain(0.3, 0.06, 0.17).wear).toBeCloseTo(0, 6);
    expect(afterGain(0.3, 0.06, 0.17, { powderChange: true }).wear).toBeGreaterThan(0.2);
    expect(afterGain(0.3, 0.06, 0.2, { common: true }).wear).toBeGreaterThan(0.2);
  });
});
