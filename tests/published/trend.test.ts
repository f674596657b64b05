import { describe, expect, it } from 'vitest';
import { mannKendall, tieGroups } from '../../analyzer/stats/mann-kendall.ts';
import { pettitt } from '../../analyzer/stats/pettitt.ts';
import { theilSen } from '../../analyzer/stats/theil-sen.ts';
import { fixture } from './fixture.ts';

interface MannKendallCases {
  readonly cases: readonly {
    readonly name: string;
    readonly x: readonly number[];
    readonly expected: {
      readonly S: number;
      readonly tie_group_sizes: readonly number[];
      readonly varS: number;
      readonly z: number;
      readonly p_two_sided: number;
      readonly sen_slope: number;
      readonly p_exact_one_sided?: number;
    };
    readonly trend_package?: { readonly ci95_rounded_ranks: readonly [number, number] };
  }[];
  readonly exact_small_n_table: readonly {
    readonly n: number;
    readonly S: readonly number[];
    readonly p_one_sided: readonly number[];
  }[];
}

interface TheilSenCases {
  readonly cases: readonly {
    readonly name: string;
    readonly x: readonly number[];
    readonly y: readonly number[];
    readonly confidence: number;
    readonly expected: {
      readonly slope: number;
      readonly intercept_separate: number;
      readonly low: number;
      readonly high: number;
    };
  }[];
}

interface PettittCases {
  readonly cases: readonly {
    readonly name: string;
    readonly x: readonly number[];
    readonly expected: { readonly K: number; readonly change_point: number; readonly p: number };
  }[];
}

const steps = (values: readonly number[]): number[] => values.map((_, index) => index + 1);

/** A series of n different values with exactly `s` more rising than falling pairs. */
function seriesWith(n: number, s: number): number[] {
  let falling = ((n * (n - 1)) / 2 - s) / 2;
  const left = steps(new Array<number>(n).fill(0));
  const series: number[] = [];
  while (left.length > 0) {
    const taken = Math.min(falling, left.length - 1);
    series.push(left.splice(taken, 1)[0]!);
    falling -= taken;
  }
  return series;
}

describe('Mann–Kendall', () => {
  // Source: US EPA QA/G-9S 2006 p. 109; R. O. Gilbert 1987 chapter 16; CRAN trend 1.1.6 (mk.test, sens.slope).
  const { cases, exact_small_n_table } = fixture<MannKendallCases>('A-mann-kendall-sen');

  for (const { name, x, expected, trend_package } of cases)
    it(`gives S, variance, z and p of ${name}`, () => {
      const test = mannKendall(x);
      expect(test.s).toBe(expected.S);
      expect(tieGroups(x).sort()).toEqual([...expected.tie_group_sizes].sort());
      expect(test.variance).toBeCloseTo(expected.varS, 8);
      expect(test.z).toBeCloseTo(expected.z, 9);
      expect(test.pTwoSided / expected.p_two_sided).toBeCloseTo(1, 8);
      if (expected.p_exact_one_sided !== undefined)
        expect(test.pExactOneSided).toBeCloseTo(expected.p_exact_one_sided, 12);
      const line = theilSen(steps(x), x);
      expect(line.slope).toBeCloseTo(expected.sen_slope, 10);
      if (trend_package) {
        expect(line.low).toBeCloseTo(trend_package.ci95_rounded_ranks[0], 9);
        expect(line.high).toBeCloseTo(trend_package.ci95_rounded_ranks[1], 9);
      }
    });

  for (const { n, S, p_one_sided } of exact_small_n_table)
    it(`has the exact one-sided table for ${n} values`, () => {
      for (const [index, s] of S.entries())
        expect(mannKendall(seriesWith(n, s)).pExactOneSided).toBeCloseTo(p_one_sided[index]!, 12);
    });
});

describe('Theil–Sen', () => {
  // Source: P. K. Sen, JASA 63, 1968 (slope 4, limits 3.71 and 4.38); scipy.stats.theilslopes.
  for (const { name, x, y, confidence, expected } of fixture<TheilSenCases>('A-theil-sen').cases)
    it(`gives slope, intercept and limits of ${name}`, () => {
      const line = theilSen(x, y, confidence);
      expect(line.slope).toBeCloseTo(expected.slope, 10);
      expect(line.intercept).toBeCloseTo(expected.intercept_separate, 9);
      expect(line.low).toBeCloseTo(expected.low, 10);
      expect(line.high).toBeCloseTo(expected.high, 10);
    });
});

describe('Pettitt', () => {
  // Source: A. N. Pettitt, Applied Statistics 28, 1979 (change at 17, p 0.014); CRAN trend 1.1.6.
  for (const { name, x, expected } of fixture<PettittCases>('A-pettitt').cases)
    it(`finds the change in ${name}`, () => {
      const test = pettitt(x);
      expect(test.k).toBe(expected.K);
      expect(test.changeAfter).toBe(expected.change_point);
      expect(test.p / expected.p).toBeCloseTo(1, 9);
    });
});
