import { mean, standardDeviation } from 'simple-statistics';
import { describe, expect, it } from 'vitest';
import { firstCrossing } from '../../analyzer/stats/first-crossing.ts';
import { firstPassageCdf, firstPassageDensity, firstPassageQuantile } from '../../analyzer/stats/first-passage.ts';
import { lineCrossing, lineFit, lineThroughOrigin } from '../../analyzer/stats/line-fit.ts';
import { weibullFit, weibullQuantile } from '../../analyzer/stats/weibull.ts';
import { fixture } from './fixture.ts';

interface Laser {
  readonly threshold_percent: number;
  readonly units: readonly {
    readonly unit: string;
    readonly hours: readonly number[];
    readonly increase_percent: readonly number[];
    readonly slope_through_origin: number;
    readonly se_slope: number;
    readonly sigma: number;
    readonly pseudo_failure_time_h: number;
    readonly ci95_from_slope: readonly [number, number];
    readonly ols_intercept: number;
    readonly ols_slope: number;
    readonly crossing_time_ols: number;
  }[];
  readonly expected: {
    readonly published_rounded: readonly number[];
    readonly weibull_on_ols: {
      readonly shape_beta: number;
      readonly scale_eta: number;
      readonly loglik: number;
      readonly B10: number;
    };
    readonly lognormal_on_ols: { readonly meanlog: number; readonly sdlog_mle: number };
    readonly weibull_on_through_origin: {
      readonly shape_beta: number;
      readonly scale_eta: number;
      readonly B10: number;
    };
  };
}

describe('pseudo failure times of the GaAs lasers', () => {
  // Source: Meeker & Escobar, Statistical Methods for Reliability Data, 1998, section 13.8 and table C.17.
  const { threshold_percent: level, units, expected } = fixture<Laser>('B-laser-degradation');
  const crossings = units.map(
    ({ hours, increase_percent }) => lineCrossing(lineFit(hours, increase_percent), level)!.value,
  );
  const fromOrigin = units.map(
    ({ hours, increase_percent }) => lineCrossing(lineThroughOrigin(hours, increase_percent), level)!,
  );

  it('are the published ones, to the hour', () => {
    expect(crossings.map(Math.round)).toEqual(expected.published_rounded);
  });

  it.each(units.map((unit, index) => ({ ...unit, index })))('agree for unit $unit line by line', (unit) => {
    const line = lineFit(unit.hours, unit.increase_percent);
    expect(line.slope / unit.ols_slope).toBeCloseTo(1, 9);
    expect(line.intercept / unit.ols_intercept).toBeCloseTo(1, 8);
    expect(crossings[unit.index]! / unit.crossing_time_ols).toBeCloseTo(1, 9);
    const origin = lineThroughOrigin(unit.hours, unit.increase_percent);
    expect(origin.slope / unit.slope_through_origin).toBeCloseTo(1, 9);
    expect(origin.slopeError / unit.se_slope).toBeCloseTo(1, 9);
    expect(origin.residualSigma / unit.sigma).toBeCloseTo(1, 9);
    const { value, low, high } = fromOrigin[unit.index]!;
    expect(value / unit.pseudo_failure_time_h).toBeCloseTo(1, 9);
    expect([low, high]).toEqual(unit.ci95_from_slope.map((limit) => expect.closeTo(limit, 5)));
  });

  it('have the Weibull and lognormal fits of R', () => {
    const failed = (times: readonly number[]) => weibullFit(times.map((time) => ({ time, failed: true })));
    const fit = failed(crossings);
    expect(fit.shape / expected.weibull_on_ols.shape_beta).toBeCloseTo(1, 8);
    expect(fit.scale / expected.weibull_on_ols.scale_eta).toBeCloseTo(1, 8);
    expect(fit.logLikelihood).toBeCloseTo(expected.weibull_on_ols.loglik, 7);
    expect(weibullQuantile(fit, 0.1).value / expected.weibull_on_ols.B10).toBeCloseTo(1, 8);
    const origin = failed(fromOrigin.map(({ value }) => value));
    expect(origin.shape / expected.weibull_on_through_origin.shape_beta).toBeCloseTo(1, 8);
    expect(origin.scale / expected.weibull_on_through_origin.scale_eta).toBeCloseTo(1, 8);
    const logs = crossings.map(Math.log);
    expect(mean(logs)).toBeCloseTo(expected.lognormal_on_ols.meanlog, 9);
    expect(standardDeviation(logs)).toBeCloseTo(expected.lognormal_on_ols.sdlog_mle, 9);
  });
});

describe('fatigue cracks of alloy A', () => {
  // Source: Meeker & Escobar 1998, table C.14 (Hudak et al. 1978); linear interpolation to 1.6 inch.
  const { threshold_inch, units } = fixture<{
    readonly threshold_inch: number;
    readonly units: readonly {
      readonly specimen: string;
      readonly megacycles: readonly number[];
      readonly crack_inch: readonly number[];
      readonly crossing_1_6_inch_linear_interp: number | null;
    }[];
  }>('B-fatigue-crack');

  it.each(units)('cross the limit, or do not, where published: specimen $specimen', (unit) => {
    const crossing = firstCrossing(unit.megacycles, unit.crack_inch, threshold_inch);
    if (unit.crossing_1_6_inch_linear_interp === null) expect(crossing).toBeNull();
    else expect(crossing).toBeCloseTo(unit.crossing_1_6_inch_linear_interp, 12);
  });
});

describe('first passage of drift and noise', () => {
  // Source: Chhikara & Folks, The Inverse Gaussian Distribution, 1989; scipy.stats.invgauss; R statmod agrees.
  const { cases } = fixture<{
    readonly cases: readonly {
      readonly threshold_D: number;
      readonly drift: number;
      readonly sigma: number;
      readonly cdf: readonly { readonly t: number; readonly F: number; readonly f: number }[];
      readonly quantiles: readonly { readonly p: number; readonly t: number }[];
    }[];
  }>('B-inverse-gaussian');

  for (const { threshold_D, drift, sigma, cdf, quantiles } of cases)
    it(`is inverse Gaussian for distance ${threshold_D}, drift ${drift}, sigma ${sigma}`, () => {
      const process = { distance: threshold_D, drift, sigma };
      for (const { t, F, f } of cdf) {
        expect(firstPassageCdf(process, t) / F).toBeCloseTo(1, 9);
        expect(firstPassageDensity(process, t) / f).toBeCloseTo(1, 9);
      }
      for (const { p, t } of quantiles) expect(firstPassageQuantile(process, p) / t).toBeCloseTo(1, 8);
    });

  it('does not overflow for a drift that leaves almost no doubt', () => {
    const process = { distance: 1000, drift: 10, sigma: 0.5 };
    expect(firstPassageCdf(process, 99)).toBeLessThan(0.05);
    expect(firstPassageCdf(process, 101)).toBeGreaterThan(0.95);
    expect(firstPassageQuantile(process, 0.5)).toBeCloseTo(100, 1);
  });
});
