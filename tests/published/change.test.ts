import { describe, expect, it } from 'vitest';
import { benjaminiHochberg } from '../../analyzer/stats/benjamini-hochberg.ts';
import { breakInterval, breakpoints, supF } from '../../analyzer/stats/breakpoints.ts';
import { cusumTest } from '../../analyzer/stats/cusum-of-residuals.ts';
import { fixture } from './fixture.ts';

interface Nile {
  readonly input: { readonly x: readonly number[] };
  readonly expected: {
    readonly breakpoint_index: number;
    readonly breakpoint_ci95_index: readonly [number, number, number];
    readonly RSS_by_breaks: readonly number[];
    readonly BIC_by_breaks: readonly number[];
    readonly supF: number;
    readonly ols_cusum_stat: number;
    readonly ols_cusum_p: number;
    readonly argmax_abs_centred_cusum: number;
  };
}

describe('breaks in the annual flow of the Nile, 1871 to 1970', () => {
  // Source: base R data set; Zeileis et al., J. Stat. Software 7(2), 2002; strucchange 1.5-3. The break of 1898 is published.
  const { input, expected } = fixture<Nile>('A-nile-step');
  const found = breakpoints(input.x);

  it('have the published sums of squares and criteria for 0 to 5 breaks', () => {
    expect(found.map(({ squares }) => squares)).toEqual(expected.RSS_by_breaks.map((rss) => expect.closeTo(rss, 4)));
    expect(found.map(({ bic }) => bic)).toEqual(expected.BIC_by_breaks.map((bic) => expect.closeTo(bic, 6)));
  });

  it('are one, after 1898', () => {
    const best = found.reduce((a, b) => (b.bic < a.bic ? b : a));
    expect(best.breaks).toEqual([expected.breakpoint_index]);
  });

  it('have the published confidence interval', () => {
    const { low, value, high } = breakInterval(input.x, expected.breakpoint_index);
    expect([low, value, high]).toEqual(expected.breakpoint_ci95_index);
  });

  it('have the published supF and OLS-CUSUM', () => {
    expect(supF(input.x)).toEqual({ f: expect.closeTo(expected.supF, 6), changeAfter: expected.breakpoint_index });
    const test = cusumTest(input.x);
    expect(test.statistic).toBeCloseTo(expected.ols_cusum_stat, 10);
    expect(test.p / expected.ols_cusum_p).toBeCloseTo(1, 8);
    expect(test.changeAfter).toBe(expected.argmax_abs_centred_cusum);
  });
});

describe('Benjamini–Hochberg', () => {
  // Source: Benjamini & Hochberg, JRSS B 57, 1995, section 3: 15 p-values, 4 rejected at 0.05; R p.adjust.
  const { input, expected } = fixture<{
    readonly input: { readonly p: readonly number[]; readonly q: number };
    readonly expected: { readonly BH: readonly number[]; readonly rejected_BH: number };
  }>('A-benjamini-hochberg');

  it('adjusts and rejects as the paper does', () => {
    const adjusted = benjaminiHochberg(input.p);
    expect(adjusted).toEqual(expected.BH.map((p) => expect.closeTo(p, 12)));
    expect(adjusted.filter((p) => p <= input.q)).toHaveLength(expected.rejected_BH);
  });

  it('does not depend on the order of the p-values', () => {
    expect(benjaminiHochberg([...input.p].reverse())).toEqual([...benjaminiHochberg(input.p)].reverse());
  });
});
