import { gaussLegendre } from '../../stats/gauss-legendre.ts';
import { held, passage, pointCount } from './average-run-length.ts';
import { type Chart, type CusumDesign, cusumChart, type EwmaDesign, ewmaChart } from './chart.ts';

/** Survival below which the tail of the run length is cut off. Source: own choice, because it adds less than 1e-9 samples. */
const NEGLIGIBLE = 1e-13;

/** Longest run followed, samples. Source: own choice, because a drift this slow is no drift over any insert's life. */
const LONGEST = 200_000;

/**
 * Average run length of a chart while the mean moves: expected samples to the first signal, carrying the
 * density of the statistic forward from sample to sample.
 *
 * @param chart from `cusumChart` or `ewmaChart`
 * @param meanAt mean of sample t in standard deviations, t = 1, 2, …; it must lead to a signal in the end
 * @returns samples, >= 1
 * @throws {RangeError} if after 200 000 samples a signal is still outstanding
 * Source: C. A. Aerne, C. W. Champ & S. E. Rigdon, Commun. Stat. Sim. 20, 1991; F. F. Gan, J. Stat. Comput. Sim. 42, 1992.
 * @example
 * movingMeanRunLength({ carry: 1, gain: 1, slack: 0.5, low: 0, high: 4, reflecting: true, start: 0 }, (t) => 0.1 * t); // 11.9822569
 */
export function movingMeanRunLength(chart: Chart, meanAt: (sample: number) => number): number {
  const { points, weights } = gaussLegendre(pointCount(chart), chart.low, chart.high);
  const n = points.length;
  let density = new Float64Array(n);
  let next = new Float64Array(n);
  let atLow = chart.reflecting ? held(chart, chart.start, meanAt(1)) : 0;
  for (let j = 0; j < n; j++) density[j] = passage(chart, chart.start, points[j]!, meanAt(1));
  let length = 1;
  for (let sample = 2; sample < LONGEST; sample++) {
    let survival = atLow;
    for (let j = 0; j < n; j++) survival += weights[j]! * density[j]!;
    length += survival;
    if (survival < NEGLIGIBLE) return length;
    const mean = meanAt(sample);
    let lowNext = chart.reflecting ? atLow * held(chart, chart.low, mean) : 0;
    if (chart.reflecting)
      for (let i = 0; i < n; i++) lowNext += weights[i]! * density[i]! * held(chart, points[i]!, mean);
    for (let j = 0; j < n; j++) {
      let sum = atLow > 0 ? atLow * passage(chart, chart.low, points[j]!, mean) : 0;
      for (let i = 0; i < n; i++) sum += weights[i]! * density[i]! * passage(chart, points[i]!, points[j]!, mean);
      next[j] = sum;
    }
    atLow = lowNext;
    [density, next] = [next, density];
  }
  throw new RangeError(`no signal within ${LONGEST} samples: the mean does not move past the chart's limit`);
}

/**
 * Average run length of an upper one-sided CUSUM under linear drift: the mean of sample t is driftPerSample · t.
 *
 * @param design slack k, limit h and head start, standard deviations
 * @param driftPerSample standard deviations per sample, > 0
 * @throws {RangeError} if the design is out of range or the drift not above 0
 * Source: F. F. Gan, J. Stat. Comput. Sim. 42, 1992.
 * @example
 * cusumDriftRunLength({ slack: 0.5, limit: 5 }, 0.1); // 13.3149578
 */
export function cusumDriftRunLength(design: CusumDesign, driftPerSample: number): number {
  return movingMeanRunLength(cusumChart(design), ramp(driftPerSample));
}

/**
 * Average run length of an EWMA with fixed limits under linear drift: the mean of sample t is driftPerSample · t.
 *
 * @param design lambda, limit L and sides
 * @param driftPerSample standard deviations per sample, > 0
 * @throws {RangeError} if the design is out of range or the drift not above 0
 * Source: C. A. Aerne, C. W. Champ & S. E. Rigdon, Commun. Stat. Sim. 20, 1991.
 * @example
 * ewmaDriftRunLength({ lambda: 0.1, limit: 2.814 }, 0.1); // 13.3418454
 */
export function ewmaDriftRunLength(design: EwmaDesign, driftPerSample: number): number {
  return movingMeanRunLength(ewmaChart(design), ramp(driftPerSample));
}

function ramp(driftPerSample: number): (sample: number) => number {
  if (!(driftPerSample > 0 && driftPerSample < Number.POSITIVE_INFINITY))
    throw new RangeError(`drift ${driftPerSample} per sample: expected a finite number above 0`);
  return (sample) => driftPerSample * sample;
}
