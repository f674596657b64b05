import { expect, it } from 'vitest';
import { Verdict } from '../../analyzer/detect/detector.ts';
import { ewmaHalfWidth } from '../../analyzer/detect/run-length/ewma-half-width.ts';
import { ewma } from '../reference-detectors/ewma.ts';
import { fixture } from './fixture.ts';

interface EwmaChart {
  readonly input: {
    readonly x: readonly number[];
    readonly lambda: number;
    readonly target: number;
    readonly s: number;
    readonly L: number;
  };
  readonly expected: {
    readonly published_ewma_2dp: readonly number[];
    readonly ewma: readonly number[];
    readonly published_UCL: number;
    readonly published_LCL: number;
    readonly UCL_asymptotic: number;
    readonly UCL_time_varying: readonly number[];
  };
}

it('gives the averages and limits of the EWMA chart of NIST/SEMATECH 6.3.2.4', () => {
  const { input, expected } = fixture<EwmaChart>('A-ewma-nist');
  const settings = ewma.schema.parse({ target: input.target, sigma: input.s, lambda: input.lambda, limit: input.L });
  const state = ewma.init(settings);
  for (const [index, x] of input.x.entries()) {
    expect(ewma.step(settings, state, x)).toBe(Verdict.quiet);
    const average = input.target + input.s * state.average;
    expect(average).toBeCloseTo(expected.ewma[index + 1]!, 9);
    expect(average).toBeCloseTo(expected.published_ewma_2dp[index + 1]!, 1.9);
    const varying = ewmaHalfWidth({ ...settings, limits: 'varying' }, state.count);
    expect(input.target + input.s * varying).toBeCloseTo(expected.UCL_time_varying[index]!, 9);
  }
  const fixed = input.s * ewmaHalfWidth(settings, 1);
  expect(input.target + fixed).toBeCloseTo(expected.UCL_asymptotic, 9);
  expect(Math.abs(input.target + fixed - expected.published_UCL)).toBeLessThan(1e-3);
  expect(Math.abs(input.target - fixed - expected.published_LCL)).toBeLessThan(1e-3);
});
