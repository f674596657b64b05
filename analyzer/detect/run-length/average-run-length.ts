import { gaussLegendre, type Quadrature } from '../../stats/gauss-legendre.ts';
import { normalCdf, normalDensity } from '../../stats/normal.ts';
import { solveInPlace } from '../../stats/solve-linear.ts';
import { type Chart, type CusumDesign, cusumChart, type EwmaDesign, ewmaChart } from './chart.ts';

/** Memory of the systems of equations: a site's charts are set by thousands of them, each tens of kilobytes long. */
let room = new Float64Array(0);

/** Expected samples to a signal as a function of where the chart's statistic stands. */
export interface RunLengthProfile {
  readonly rule: Quadrature;
  /** Expected further samples at each point of `rule`. */
  readonly atPoints: Float64Array;
  /** The same with the statistic held at `low`; NaN for charts that are not held there. */
  readonly atLow: number;
}

/**
 * Expected run length from every point of a chart while the samples are independent N(mean, 1), by the
 * Fredholm integral equation
 *
 *   L(s) = 1 + L(low) · P(held) + ∫ L(y) · density(y | s) dy
 *
 * solved at Gauss–Legendre points (Nyström).
 *
 * @param mean shift of the samples, standard deviations
 * Source: E. S. Page, Biometrika 41, 1954; S. V. Crowder, Technometrics 29, 1987 (EWMA).
 */
export function runLengthProfile(chart: Chart, mean: number): RunLengthProfile {
  const rule = gaussLegendre(pointCount(chart), chart.low, chart.high);
  const n = rule.points.length;
  const size = chart.reflecting ? n + 1 : n;
  if (room.length < size * size) room = new Float64Array(size * size);
  const system = room;
  for (let i = 0; i < size; i++) {
    const from = i < n ? rule.points[i]! : chart.low;
    for (let j = 0; j < n; j++) system[i * size + j] = -rule.weights[j]! * passage(chart, from, rule.points[j]!, mean);
    if (chart.reflecting) system[i * size + n] = -held(chart, from, mean);
    system[i * size + i]! += 1;
  }
  const solution = new Float64Array(size).fill(1);
  solveInPlace(system, solution);
  return { rule, atPoints: solution.subarray(0, n), atLow: chart.reflecting ? solution[n]! : Number.NaN };
}

/**
 * Average run length of a chart: expected samples to the first signal from its start value.
 *
 * @param chart from `cusumChart` or `ewmaChart`
 * @param mean constant shift from the first sample on, standard deviations; 0 gives the false-alarm run length
 * @returns samples, >= 1
 * @throws {RangeError} if mean is not finite, or so far inside the limits that the run length passes about 1e15
 * Source: as `runLengthProfile`; checked against CRAN package spc in tests/published/run-length.test.ts.
 * @example
 * averageRunLength({ carry: 1, gain: 1, slack: 0.5, low: 0, high: 4, reflecting: true, start: 0 }, 1); // 8.38320213
 */
export function averageRunLength(chart: Chart, mean: number): number {
  if (!Number.isFinite(mean)) throw new RangeError(`mean ${mean}: expected a finite number`);
  const { rule, atPoints, atLow } = runLengthProfile(chart, mean);
  let length = 1 + (chart.reflecting ? atLow * held(chart, chart.start, mean) : 0);
  for (let j = 0; j < atPoints.length; j++)
    length += rule.weights[j]! * passage(chart, chart.start, rule.points[j]!, mean) * atPoints[j]!;
  return length;
}

/**
 * Average run length of a tabular CUSUM for a constant mean.
 *
 * Two-sided: the upper and lower one-sided charts run side by side with the same slack, limit and head start.
 *
 * @param design slack k, limit h and head start, standard deviations
 * @param mean shift, standard deviations
 * @param sides 'one' counts signals above only
 * @throws {RangeError} if the design or mean is out of range
 * Source: K. W. Kemp, J. R. Statist. Soc. B 23, 1961 (two sides without head start); J. M. Lucas & R. B. Crosier,
 * Technometrics 24, 1982, appendix (with head start).
 * @example
 * cusumRunLength({ slack: 0.5, limit: 5 }, 0, 'two'); // 465.4435
 */
export function cusumRunLength(design: CusumDesign, mean: number, sides: 'one' | 'two'): number {
  const started = cusumChart(design);
  const up = averageRunLength(started, mean);
  if (sides === 'one') return up;
  const down = averageRunLength(started, -mean);
  if (started.start === 0) return (up * down) / (up + down);
  const plain = cusumChart({ slack: design.slack, limit: design.limit });
  const upPlain = averageRunLength(plain, mean);
  const downPlain = averageRunLength(plain, -mean);
  return (up * downPlain + upPlain * down - upPlain * downPlain) / (upPlain + downPlain);
}

/**
 * Average run length of an EWMA with fixed limits for a constant mean.
 *
 * @param design lambda, limit L and sides
 * @param mean shift, standard deviations of one sample
 * @throws {RangeError} if the design or mean is out of range
 * Source: S. V. Crowder, Technometrics 29, 1987; J. M. Lucas & M. S. Saccucci, Technometrics 32, 1990.
 * @example
 * ewmaRunLength({ lambda: 0.1, limit: 2.814 }, 1); // 10.3306652
 */
export function ewmaRunLength(design: EwmaDesign, mean: number): number {
  return averageRunLength(ewmaChart(design), mean);
}

/** Density of moving from one value of the statistic to another within one sample. */
export function passage(chart: Chart, from: number, to: number, mean: number): number {
  return normalDensity((to - chart.carry * from) / chart.gain + chart.slack - mean) / chart.gain;
}

/** Probability of being held at `low` after one sample. */
export function held(chart: Chart, from: number, mean: number): number {
  return normalCdf((chart.low - chart.carry * from) / chart.gain + chart.slack - mean);
}

/**
 * Points enough for 1e-9 of the run length. Source: own choice, because doubling them changes no published
 * case by more than that (tests/published/run-length.test.ts).
 */
export function pointCount(chart: Chart): number {
  return Math.ceil(30 + (3 * (chart.high - chart.low)) / chart.gain);
}
