import { findRoot } from '../../stats/find-root.ts';
import { gaussHermite } from '../../stats/gauss-hermite.ts';
import { autocorrelatedCusumLimit, longRunFactor } from './autocorrelation.ts';
import { cusumRunLength, ewmaRunLength } from './average-run-length.ts';
import { stepGlrRunLength } from './step-glr-run-length.ts';

/** What was promised for a gun, and how often one of its signals is looked at. */
export interface AlarmPromise {
  /** False findings accepted per year, all signals of the gun together. */
  readonly falseAlarmsPerYear: number;
  /** Share of that budget that this signal may use, 0 < share <= 1. Equal shares of n signals: 1 / n. */
  readonly share: number;
  /** Samples of this signal in a year of the gun's usual work. */
  readonly samplesPerYear: number;
}

/** How the samples of a signal behave without a change. */
export interface NullBehaviour {
  /** Correlation of neighbouring samples; default 0. */
  readonly lagOne?: number;
  /** Mean that counts as no change, standard deviations: wear below the smallest change worth a visit. Default 0. */
  readonly nullMean?: number;
  /** Samples from which the reference level was learned; default: known exactly. */
  readonly baselineSamples?: number;
}

/** A chart without its limit. */
export type ChartKind =
  | { readonly kind: 'cusum'; readonly slack: number; readonly sides: 'one' | 'two' }
  | { readonly kind: 'ewma'; readonly lambda: number; readonly sides: 'one' | 'two' }
  | { readonly kind: 'stepGlr'; readonly window: number; readonly sides: 'one' | 'two' };

/**
 * Average samples between false alarms that a signal has to keep, so that the gun as a whole keeps its promise. Rates of
 * false alarms add up whether or not the signals depend on each other, so a budget that is shared out is kept.
 *
 * @throws {RangeError} if a number is not above 0 or the share exceeds 1
 * Source: expected counts add (linearity of expectation; Boole's inequality for "at least one").
 * @example
 * samplesBetweenFalseAlarms({ falseAlarmsPerYear: 0.3, share: 0.2, samplesPerYear: 6000 }); // 100000
 */
export function samplesBetweenFalseAlarms({ falseAlarmsPerYear, share, samplesPerYear }: AlarmPromise): number {
  if (!(falseAlarmsPerYear > 0 && samplesPerYear > 0 && share > 0 && share <= 1))
    throw new RangeError(
      `${falseAlarmsPerYear} false alarms a year, share ${share}, ${samplesPerYear} samples a year: expected numbers above 0, share at most 1`,
    );
  return samplesPerYear / (falseAlarmsPerYear * share);
}

/**
 * Limit of a chart that keeps a promise, corrected for autocorrelation and for an estimated reference.
 *
 * - Autocorrelation: slack and mean are measured in long-run standard deviations, then the limit is turned back
 *   (autocorrelatedCusumLimit); an EWMA's or step ratio's limit L stays and multiplies autocorrelatedEwmaSigma or
 *   longRunFactor instead.
 * - Estimated reference: the rate of false alarms is averaged over the reference's error, normal with variance s²/m.
 *
 * @param chart kind with its slack, lambda or window
 * @returns limit in standard deviations of one sample: a CUSUM's h; L for an EWMA or step ratio
 * @throws {RangeError} if a number is out of range or no limit keeps the promise (a null mean, or a baseline's
 * error, that reaches the slack)
 * Source: run lengths as cusumRunLength, ewmaRunLength and stepGlrRunLength; averaging over the reference's error as in
 * L. A. Jones, C. W. Champ & S. E. Rigdon, Technometrics 43, 2001 (EWMA) and 46, 2004 (CUSUM). From memory; checked by simulation.
 * @example
 * promisedLimit({ kind: 'cusum', slack: 0.5, sides: 'one' }, { falseAlarmsPerYear: 1, share: 1, samplesPerYear: 1000 }); // 5.070704
 */
export function promisedLimit(chart: ChartKind, promise: AlarmPromise, behaviour: NullBehaviour = {}): number {
  const samples = samplesBetweenFalseAlarms(promise);
  const { lagOne = 0, nullMean = 0, baselineSamples = Number.POSITIVE_INFINITY } = behaviour;
  if (!(baselineSamples >= 2)) throw new RangeError(`${baselineSamples} baseline samples: expected 2 or more`);
  const factor = longRunFactor(lagOne);
  const rule = baselineSamples === Number.POSITIVE_INFINITY ? gaussHermite(1) : gaussHermite(ERROR_POINTS);
  const rate = (limit: number): number => {
    let sum = 0;
    for (let i = 0; i < rule.points.length; i++) {
      const mean = nullMean / factor + rule.points[i]! / Math.sqrt(baselineSamples);
      sum += rule.weights[i]! / runLength(chart, limit, mean, factor);
    }
    return sum;
  };
  const independent = smallestLimit(chart.kind === 'stepGlr' ? 1.5 : 0.05, (limit) => -Math.log(rate(limit) * samples));
  return chart.kind === 'cusum' ? autocorrelatedCusumLimit(independent, lagOne) : independent;
}

/** Points over the reference's error. Source: own choice, because 21 change no limit by 0.1 %. */
const ERROR_POINTS = 11;

/** Largest limit tried. Source: own choice, because a chart that needs more finds nothing within the life of a part. */
const LARGEST = 60;

/** Run lengths beyond this are as good as endless: the linear system has no digits left. */
const ENDLESS = 1e13;

function runLength(chart: ChartKind, limit: number, mean: number, factor: number): number {
  switch (chart.kind) {
    case 'cusum':
      return usable(cusumRunLength({ slack: chart.slack / factor, limit }, mean, chart.sides));
    case 'ewma':
      return usable(ewmaRunLength({ lambda: chart.lambda, limit, sides: chart.sides }, mean));
    case 'stepGlr': {
      // A constant offset adds at most mean·√window to the longest sums: the smallest limit they see decides.
      const offset = chart.sides === 'two' ? Math.abs(mean) : Math.max(0, mean);
      const reached = limit - offset * Math.sqrt(chart.window);
      return reached > 0.5 ? stepGlrRunLength(reached, chart.window, chart.sides) : 1;
    }
  }
}

function usable(length: number): number {
  return length >= 1 && length < ENDLESS ? length : ENDLESS;
}

function smallestLimit(start: number, excess: (limit: number) => number): number {
  let low = start;
  let high = 2 * start;
  while (excess(high) < 0) {
    low = high;
    high *= 1.5;
    if (high > LARGEST)
      throw new RangeError(
        `no limit up to ${LARGEST} keeps this promise: the slack has to exceed the null mean and the error of the baseline`,
      );
  }
  return findRoot(excess, low, high, 1e-9);
}
