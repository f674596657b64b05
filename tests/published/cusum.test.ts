import { expect, it } from 'vitest';
import { cusum } from '../../analyzer/detect/cusum.ts';
import { Verdict } from '../../analyzer/detect/detector.ts';
import { fixture } from './fixture.ts';

interface CusumChart {
  readonly input: { readonly x: readonly number[]; readonly target: number; readonly k: number; readonly h: number };
  readonly expected: {
    readonly S_hi: readonly number[];
    readonly S_lo: readonly number[];
    readonly published_S_hi_2dp: readonly number[];
    readonly published_S_lo_2dp: readonly number[];
    readonly signals_high: readonly number[];
  };
}

it('gives the sums and signals of the tabular CUSUM of NIST/SEMATECH 6.3.2.3', () => {
  const { input, expected } = fixture<CusumChart>('A-cusum-nist');
  const settings = cusum.schema.parse({
    target: input.target,
    slack: input.k,
    limit: input.h,
    direction: 'both',
  });
  const state = cusum.init(settings);
  const signals: number[] = [];
  for (const [index, x] of input.x.entries()) {
    if (cusum.step(settings, state, x) === Verdict.alarm) signals.push(index + 1);
    expect(state.up).toBeCloseTo(expected.S_hi[index]!, 9);
    expect(state.down).toBeCloseTo(expected.S_lo[index]!, 9);
    expect(Math.abs(state.up - expected.published_S_hi_2dp[index]!)).toBeLessThan(0.02);
    expect(Math.abs(state.down - expected.published_S_lo_2dp[index]!)).toBeLessThan(0.02);
  }
  expect(signals).toEqual(expected.signals_high);
});
