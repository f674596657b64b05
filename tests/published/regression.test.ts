import { linearRegression } from 'simple-statistics';
import { describe, expect, it } from 'vitest';
import { lineCrossing, lineFit, predictLine } from '../../analyzer/stats/line-fit.ts';
import { segmentedLine } from '../../analyzer/stats/segmented-line.ts';
import { fixture } from './fixture.ts';

interface Norris {
  readonly input: { readonly x: readonly number[]; readonly y: readonly number[] };
  readonly expected_certified: {
    readonly B0: number;
    readonly B0_sd: number;
    readonly B1: number;
    readonly B1_sd: number;
    readonly residual_sd: number;
    readonly R2: number;
  };
  readonly predictions: readonly {
    readonly x: number;
    readonly fit: number;
    readonly ci95_mean: readonly [number, number];
    readonly pi95_new: readonly [number, number];
  }[];
  readonly inverse_crossing: {
    readonly y: number;
    readonly x: number;
    readonly fieller95_mean_line: readonly [number, number];
  };
}

describe('straight line with certified values', () => {
  // Source: NIST StRD, linear least squares, Norris; prediction and Fieller limits by formula in the fixture.
  const { input, expected_certified, predictions, inverse_crossing } = fixture<Norris>('A-linear-regression-norris');
  const fit = lineFit(input.x, input.y);

  it('has the certified coefficients, errors, residual deviation and R²', () => {
    expect(fit.intercept / expected_certified.B0).toBeCloseTo(1, 9);
    expect(fit.interceptError / expected_certified.B0_sd).toBeCloseTo(1, 9);
    expect(fit.slope / expected_certified.B1).toBeCloseTo(1, 12);
    expect(fit.slopeError / expected_certified.B1_sd).toBeCloseTo(1, 9);
    expect(fit.residualSigma / expected_certified.residual_sd).toBeCloseTo(1, 9);
    expect(fit.rSquared).toBeCloseTo(expected_certified.R2, 12);
  });

  it('is also what simple-statistics fits', () => {
    const { m, b } = linearRegression(input.x.map((x, index) => [x, input.y[index]!]));
    expect(m / expected_certified.B1).toBeCloseTo(1, 9);
    expect(b / expected_certified.B0).toBeCloseTo(1, 6);
  });

  it.each(predictions)(
    'has the limits of the mean and of a new observation at x = $x',
    ({ x, fit: value, ci95_mean, pi95_new }) => {
      const mean = predictLine(fit, x, 'mean');
      const observation = predictLine(fit, x, 'observation');
      expect(mean.value).toBeCloseTo(value, 8);
      expect([mean.low, mean.high]).toEqual(ci95_mean.map((limit) => expect.closeTo(limit, 7)));
      expect([observation.low, observation.high]).toEqual(pi95_new.map((limit) => expect.closeTo(limit, 7)));
    },
  );

  it('crosses 1200 where Fieller puts it', () => {
    const crossing = lineCrossing(fit, inverse_crossing.y)!;
    expect(crossing.value).toBeCloseTo(inverse_crossing.x, 7);
    expect([crossing.low, crossing.high]).toEqual(
      inverse_crossing.fieller95_mean_line.map((limit) => expect.closeTo(limit, 7)),
    );
  });

  it('says nothing of a crossing when the slope may as well be 0', () => {
    expect(lineCrossing(lineFit([0, 1, 2, 3], [1, -1, 1, -1]), 10)).toBeNull();
  });
});

interface Segmented {
  readonly input: { readonly x: readonly number[]; readonly y: readonly number[] };
  readonly expected: {
    readonly breakpoint: number;
    readonly breakpoint_se: number;
    readonly slope_left: number;
    readonly slope_right: number;
    readonly intercept_left: number;
    readonly RSS: number;
    readonly sigma: number;
  };
}

describe('line with one change of slope', () => {
  // Source: stagnant band height data (R. A. Cook, D. V. Hinkley), fitted by CRAN segmented 1.6-2, to its convergence of 1e-5.
  it('breaks where segmented breaks the stagnant data', () => {
    const { input, expected } = fixture<Segmented>('A-segmented');
    const line = segmentedLine(input.x, input.y);
    expect(line.breakAt).toBeCloseTo(expected.breakpoint, 6);
    expect(line.breakError).toBeCloseTo(expected.breakpoint_se, 6);
    expect(line.slopeLeft).toBeCloseTo(expected.slope_left, 6);
    expect(line.slopeRight).toBeCloseTo(expected.slope_right, 6);
    expect(line.intercept).toBeCloseTo(expected.intercept_left, 6);
    expect(line.squares / expected.RSS).toBeCloseTo(1, 6);
    expect(line.residualSigma / expected.sigma).toBeCloseTo(1, 6);
  });
});
