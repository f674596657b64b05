import { median, medianAbsoluteDeviation } from 'simple-statistics';
import { describe, expect, it } from 'vitest';
import { hampel } from '../../analyzer/stats/hampel.ts';
import { huberLocation, huberRegression } from '../../analyzer/stats/huber.ts';
import { leastSquares } from '../../analyzer/stats/least-squares.ts';
import { MAD_TO_SIGMA, medianAndMad } from '../../analyzer/stats/robust-scale.ts';
import { fixture } from './fixture.ts';

interface Robust {
  readonly mad: {
    readonly constant_R: number;
    readonly cases: readonly {
      readonly x: readonly number[];
      readonly median: number;
      readonly mad_raw: number;
      readonly mad_R: number;
    }[];
  };
  readonly huber_location: {
    readonly x: readonly number[];
    readonly k: number;
    readonly mu: number;
    readonly s: number;
  };
  readonly huber_regression: readonly {
    readonly name: string;
    readonly x?: readonly number[];
    readonly X?: readonly (readonly number[])[];
    readonly y: readonly number[];
    readonly k: number;
    readonly coef: readonly number[];
    readonly scale: number;
    readonly ols_coef?: readonly number[];
  }[];
}

// Source: Venables & Ripley, Modern Applied Statistics with S, 4th ed. 2002 (chem, phones); Brownlee's stackloss; MASS 7.3-58.2.
const robust = fixture<Robust>('A-robust');

describe('robust centre and spread', () => {
  it.each(robust.mad.cases)(
    'of case %# are those of R and of simple-statistics',
    ({ x, median: centre, mad_raw, mad_R }) => {
      const found = medianAndMad(x);
      expect(found.centre).toBeCloseTo(centre, 12);
      expect(found.spread).toBeCloseTo(mad_R, 12);
      expect(median([...x])).toBeCloseTo(centre, 12);
      expect(medianAbsoluteDeviation([...x])).toBeCloseTo(mad_raw, 12);
    },
  );

  it('uses the constant of R', () => {
    expect(MAD_TO_SIGMA).toBe(robust.mad.constant_R);
  });

  it('gives the Huber location that the book prints for chem', () => {
    const { x, k, mu, s } = robust.huber_location;
    const found = huberLocation(x, k);
    // huber() of MASS stops at a step of 1e-6 spreads.
    expect(found.centre).toBeCloseTo(mu, 6);
    expect(found.spread).toBeCloseTo(s, 12);
    expect(found.centre).toBeCloseTo(3.206724, 6);
  });
});

describe('Huber regression', () => {
  for (const { name, x, X, y, k, coef, scale, ols_coef } of robust.huber_regression) {
    const rows = (X ?? x!.map((value) => [value])).map((row) => [1, ...row]);

    it(`fits ${name} as rlm does`, () => {
      const fit = huberRegression(rows, y, k, 1e-4);
      for (const [index, value] of coef.entries()) expect(fit.coefficients[index]! / value).toBeCloseTo(1, 8);
      expect(fit.scale / scale).toBeCloseTo(1, 8);
    });

    it(`moves little when ${name} is followed to the end`, () => {
      const fit = huberRegression(rows, y, k);
      for (const [index, value] of coef.entries()) expect(fit.coefficients[index]! / value).toBeCloseTo(1, 2);
    });

    if (ols_coef)
      it(`starts from the least squares of ${name}`, () => {
        const { coefficients } = leastSquares(rows, y);
        for (const [index, value] of ols_coef.entries()) expect(coefficients[index]).toBeCloseTo(value, 8);
      });
  }
});

interface HampelCase {
  readonly name: string;
  readonly x: readonly number[];
  readonly k: number;
  readonly t0: number;
  readonly expected: {
    readonly outlier_indices_1based: readonly number[];
    readonly filtered?: readonly number[];
    readonly filtered_at_outliers?: readonly number[];
  };
}

describe('Hampel filter', () => {
  // Source: CRAN pracma 2.4.2, hampel(x, k, t0).
  for (const { name, x, k, t0, expected } of fixture<{ readonly cases: readonly HampelCase[] }>('A-hampel').cases)
    it(`finds and replaces the outliers of ${name} that pracma does`, () => {
      const { values, outliers } = hampel(x, k, t0);
      expect(outliers.map((index) => index + 1)).toEqual(expected.outlier_indices_1based);
      const replaced = outliers.map((index) => values[index]!);
      for (const [index, value] of (expected.filtered ?? []).entries()) expect(values[index]).toBeCloseTo(value, 12);
      for (const [index, value] of (expected.filtered_at_outliers ?? []).entries())
        expect(replaced[index]).toBeCloseTo(value, 12);
    });

  it('takes any deviation in a flat window for an outlier', () => {
    expect(hampel([1, 1, 1, 1, 1.001, 1, 1, 1, 1], 3).outliers).toEqual([4]);
    expect(hampel([1, 1, 1, 1, 1, 1, 1, 1, 1], 3).outliers).toEqual([]);
  });
});
