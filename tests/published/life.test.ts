import { describe, expect, it } from 'vitest';
import { ageReplacement } from '../../analyzer/stats/age-replacement.ts';
import { kaplanMeier, logRank, survivalQuantile } from '../../analyzer/stats/kaplan-meier.ts';
import type { Limits } from '../../analyzer/stats/line-fit.ts';
import {
  type Life,
  weibullFit,
  weibullMean,
  weibullQuantile,
  weibullScale,
  weibullShape,
} from '../../analyzer/stats/weibull.ts';
import { fixture } from './fixture.ts';

interface Lives {
  readonly name: string;
  readonly time: readonly number[];
  readonly event: readonly number[];
  readonly count?: readonly number[];
}

interface Quantile {
  readonly p: number;
  readonly time: number;
  readonly ci95_normal_on_log: readonly [number, number];
}

interface WeibullCase extends Lives {
  readonly expected: {
    readonly shape_beta: number;
    readonly scale_eta: number;
    readonly loglik: number;
    readonly se_intercept: number;
    readonly se_log_sigma: number;
    readonly shape_ci95_normal_on_log: readonly [number, number];
    readonly scale_ci95_normal_on_log: readonly [number, number];
    readonly B1: Quantile;
    readonly B10: Quantile;
    readonly B50: Quantile;
    readonly mean_life: number;
  };
  readonly published?: { readonly shape: number; readonly scale: number };
}

interface KaplanMeierCase extends Lives {
  readonly expected: {
    readonly time: readonly number[];
    readonly n_risk: readonly number[];
    readonly n_event: readonly number[];
    readonly surv: readonly number[];
    readonly std_err_greenwood: readonly number[];
    readonly ci95_log_lower: readonly number[];
    readonly ci95_log_upper: readonly number[];
    readonly ci95_loglog_lower: readonly number[];
    readonly ci95_loglog_upper: readonly number[];
    readonly quantiles_10_25_50: readonly [number, number, number];
  };
}

const livesOf = ({ time, event, count }: Lives): Life[] =>
  time.map((value, index) => ({ time: value, failed: event[index] === 1, count: count?.[index] ?? 1 }));

const expectLimits = ({ low, high }: Limits, [lower, upper]: readonly [number, number]): void => {
  expect(low / lower).toBeCloseTo(1, 6);
  expect(high / upper).toBeCloseTo(1, 6);
};

describe('Weibull lives by maximum likelihood', () => {
  // Source: NIST/SEMATECH 8.4.1.3 (1.7207, 606.5280); Lieblein & Zelen 1956; O'Connor 1985; Abernethy 1983; survreg of R survival.
  for (const row of fixture<{ readonly cases: readonly WeibullCase[] }>('B-weibull-mle').cases) {
    const { expected } = row;
    const fit = weibullFit(livesOf(row));

    it(`of ${row.name} have the shape, scale and likelihood of survreg`, () => {
      expect(fit.shape / expected.shape_beta).toBeCloseTo(1, 8);
      expect(fit.scale / expected.scale_eta).toBeCloseTo(1, 8);
      expect(fit.logLikelihood).toBeCloseTo(expected.loglik, 7);
      expect(weibullMean(fit) / expected.mean_life).toBeCloseTo(1, 8);
      if (row.published) {
        expect(Math.abs(fit.shape / row.published.shape - 1)).toBeLessThan(1e-3);
        expect(Math.abs(fit.scale / row.published.scale - 1)).toBeLessThan(1e-3);
      }
    });

    it(`of ${row.name} have its errors and limits, and those of B1, B10 and B50`, () => {
      expect(Math.sqrt(fit.covariance[0]) / expected.se_intercept).toBeCloseTo(1, 6);
      expect(Math.sqrt(fit.covariance[2]) / expected.se_log_sigma).toBeCloseTo(1, 6);
      expectLimits(weibullShape(fit), expected.shape_ci95_normal_on_log);
      expectLimits(weibullScale(fit), expected.scale_ci95_normal_on_log);
      for (const { p, time, ci95_normal_on_log } of [expected.B1, expected.B10, expected.B50]) {
        const quantile = weibullQuantile(fit, p);
        expect(quantile.value / time).toBeCloseTo(1, 8);
        expectLimits(quantile, ci95_normal_on_log);
      }
    });
  }

  it('refuse data without a failure and impossible times', () => {
    expect(() => weibullFit([{ time: 5, failed: false }])).toThrow('no life ended in a failure');
    expect(() => weibullFit([{ time: 0, failed: true }])).toThrow('life 0: time 0');
    expect(() =>
      weibullFit([
        { time: 5, failed: true },
        { time: 5, failed: true },
      ]),
    ).toThrow('the shape has no estimate');
  });
});

describe('Kaplan–Meier', () => {
  // Source: Freireich/Gehan 6-MP; Miller 1981 aml; O'Connor 1985 shock absorbers; survfit and survdiff of R survival.
  const { cases, logrank_aml } = fixture<{
    readonly cases: readonly KaplanMeierCase[];
    readonly logrank_aml: { readonly chisq: number; readonly p: number };
  }>('B-kaplan-meier');

  for (const row of cases)
    it(`gives the curve, errors and limits of ${row.name}`, () => {
      const steps = kaplanMeier(livesOf(row));
      const { expected } = row;
      expect(steps.map(({ time }) => time)).toEqual(expected.time);
      expect(steps.map(({ atRisk }) => atRisk)).toEqual(expected.n_risk);
      expect(steps.map(({ failures }) => failures)).toEqual(expected.n_event);
      const close = (values: readonly number[]) => values.map((value) => expect.closeTo(value, 10));
      expect(steps.map(({ survival }) => survival)).toEqual(close(expected.surv));
      expect(steps.map(({ error }) => error)).toEqual(close(expected.std_err_greenwood));
      expect(steps.map(({ log }) => log.low)).toEqual(close(expected.ci95_log_lower));
      expect(steps.map(({ log }) => log.high)).toEqual(close(expected.ci95_log_upper));
      expect(steps.map(({ logLog }) => logLog.low)).toEqual(close(expected.ci95_loglog_lower));
      expect(steps.map(({ logLog }) => logLog.high)).toEqual(close(expected.ci95_loglog_upper));
      expect([0.1, 0.25, 0.5].map((share) => survivalQuantile(steps, share))).toEqual(expected.quantiles_10_25_50);
    });

  it('compares the two arms of aml as survdiff does', () => {
    const maintained = livesOf(cases.find(({ name }) => name === 'aml-maintained')!);
    // Source: Miller 1981, non-maintained arm (survival::aml).
    const nonMaintained = livesOf({
      name: 'aml-non-maintained',
      time: [5, 5, 8, 8, 12, 16, 23, 27, 30, 33, 43, 45],
      event: [1, 1, 1, 1, 1, 0, 1, 1, 1, 1, 1, 1],
    });
    const test = logRank(maintained, nonMaintained);
    expect(test.chiSquared).toBeCloseTo(logrank_aml.chisq, 9);
    expect(test.p).toBeCloseTo(logrank_aml.p, 9);
  });
});

describe('age replacement', () => {
  // Source: Barlow & Hunter, Operations Research 8, 1960; first case: System Analysis Reference, Optimum Replacement Time Example.
  const { cases } = fixture<{
    readonly cases: readonly {
      readonly beta: number;
      readonly eta: number;
      readonly cost_failure: number;
      readonly cost_planned: number;
      readonly T_opt: number;
      readonly cost_rate_at_T_opt: number;
      readonly cost_rate_run_to_failure: number;
      readonly reliability_at_T_opt: number;
    }[];
  }>('B-age-replacement');

  for (const row of cases)
    it(`is cheapest at the published age for shape ${row.beta}, scale ${row.eta}, costs ${row.cost_failure} and ${row.cost_planned}`, () => {
      const policy = ageReplacement(
        { shape: row.beta, scale: row.eta },
        { planned: row.cost_planned, failure: row.cost_failure },
      )!;
      expect(policy.age / row.T_opt).toBeCloseTo(1, 9);
      expect(policy.costRate / row.cost_rate_at_T_opt).toBeCloseTo(1, 9);
      expect(policy.costRateToFailure / row.cost_rate_run_to_failure).toBeCloseTo(1, 9);
      expect(policy.reliability).toBeCloseTo(row.reliability_at_T_opt, 9);
    });

  it('never pays where parts do not wear out, or a failure costs no more', () => {
    expect(ageReplacement({ shape: 1, scale: 100 }, { planned: 1, failure: 5 })).toBeNull();
    expect(ageReplacement({ shape: 3, scale: 100 }, { planned: 5, failure: 5 })).toBeNull();
  });
});
