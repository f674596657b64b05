import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { chiSquaredQuantile, chiSquaredTail } from '../../../analyzer/stats/chi-squared.ts';
import { rateInterval, shareInterval } from '../../../analyzer/stats/count-interval.ts';
import { incompleteBeta } from '../../../analyzer/stats/incomplete-beta.ts';
import { logNormalCdf, normalCdf, normalQuantile } from '../../../analyzer/stats/normal.ts';
import { studentCdf, studentQuantile } from '../../../analyzer/stats/student.ts';

// Source of all values: scipy 1.17.1 (scipy.stats norm, t, chi2, beta; scipy.special betainc).
const close = (actual: number, expected: number, tolerance = 1e-12): void =>
  expect(Math.abs(actual - expected)).toBeLessThanOrEqual(tolerance * Math.abs(expected));

describe('normal distribution', () => {
  it.each([
    [-8, 6.22096057427174e-16],
    [-3, 0.0013498980316300933],
    [-1, 0.15865525393145707],
    [-1e-9, 0.49999999960105773],
    [0.5, 0.6914624612740131],
    [2.999, 0.9986456634662729],
    [3.001, 0.998654527174915],
    [8, 0.9999999999999993],
  ])('has the probability of %d', (z, p) => close(normalCdf(z), p));

  it.each([
    [-300, -45006.62273211866],
    [-40, -804.6084420137539],
    [-3.0001, -6.608054536023053],
    [-1, -1.8410216450092634],
    [4, -3.1671743377489206e-5],
    [9, -1.1285884059538324e-19],
  ])('has the log probability of %d', (z, log) => close(logNormalCdf(z), log));

  it.each([
    [1e-300, -37.0470962993612],
    [1e-12, -7.034483825301131],
    [0.001, -3.090232306167813],
    [0.025, -1.9599639845400545],
    [0.3, -0.5244005127080409],
    [0.9, 1.2815515655446004],
    [0.999999, 4.753424308817087],
  ])('has the quantile of %d', (p, z) => close(normalQuantile(p), z, 1e-10));

  it('has quantiles that invert its probabilities', () => {
    fc.assert(
      fc.property(fc.double({ min: -7, max: 5, noNaN: true }), (z) => {
        close(normalCdf(normalQuantile(normalCdf(z))), normalCdf(z), 1e-11);
      }),
    );
  });

  it('refuses a probability of 0 or 1', () => {
    expect(() => normalQuantile(0)).toThrow(RangeError);
    expect(() => normalQuantile(1)).toThrow(RangeError);
  });
});

describe('Student and chi-squared distributions', () => {
  it.each([
    [0.975, 1, 12.706204736174694],
    [0.975, 2.5, 3.5746548420036817],
    [0.975, 34, 2.0322445093177186],
    [0.05, 5, -2.015048373333024],
    [0.9995, 10, 4.586893858702708],
    [0.6, 1000, 0.25341451583949876],
  ])('have t of %d at %d degrees of freedom', (p, freedom, t) => {
    close(studentQuantile(p, freedom), t, 1e-10);
    close(studentCdf(t, freedom), p, 1e-11);
  });

  it.each([
    [0.05, 1, 0.003932140000019522],
    [0.95, 1, 3.841458820694124],
    [0.975, 8, 17.534546139484647],
    [0.025, 2, 0.05063561596857975],
    [0.5, 100, 99.33412923598846],
    [0.999, 1000, 1143.9170926196791],
  ])('have chi-squared of %d at %d degrees of freedom', (p, freedom, x) =>
    close(chiSquaredQuantile(p, freedom), x, 1e-9),
  );

  it.each([
    [3.841, 1, 0.050013683763956804],
    [100, 1, 1.5239706048320995e-23],
    [30, 20, 0.06985366069940986],
    [700, 3, 2.0991308534204487e-151],
  ])('have the tail beyond %d at %d degrees of freedom', (x, freedom, p) =>
    close(chiSquaredTail(x, freedom), p, 1e-10),
  );

  it.each([
    [0.3, 2, 5, 0.579825],
    [0.5, 0.5, 0.5, 0.5],
    [0.99, 30, 2, 0.9616104854047645],
    [1e-4, 0.2, 400, 0.5682457317504719],
  ])('have the incomplete beta function at %d for shapes %d and %d', (x, a, b, value) =>
    close(incompleteBeta(x, a, b), value, 1e-11),
  );
});

describe('exact intervals of counts', () => {
  it.each([
    [0, 10, 0, 0.3084971078187607],
    [9, 10, 0.5549838829718046, 0.9974714214555382],
    [10, 10, 0.6915028921812392, 1],
    [81, 263, 0.25273674558527126, 0.36762192260135135],
    [1, 1000, 2.5317487491294065e-5, 0.005558924279826672],
    [450, 500, 0.8702909143377969, 0.9248641849335745],
  ])('are Clopper and Pearson’s for %d of %d', (successes, trials, low, high) => {
    const share = shareInterval(successes, trials);
    close(share.low, low, 1e-7);
    close(share.high, high, 1e-7);
  });

  it.each([
    [0, 0, 3.6888794541139354],
    [1, 0.025317807984289897, 5.571643390938898],
    [3, 0.6186721228956015, 8.767273069742323],
    [10, 4.7953886961324335, 18.39035604201778],
    [100, 81.36399125092315, 121.62679379242638],
  ])('are Garwood’s for %d events', (events, low, high) => {
    const rate = rateInterval(events, 1);
    close(rate.low, low, 1e-9);
    close(rate.high, high, 1e-9);
  });

  it('say nothing of a share without trials', () => {
    expect(shareInterval(0, 0)).toEqual({ value: Number.NaN, low: 0, high: 1 });
  });
});
