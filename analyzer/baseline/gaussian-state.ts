import { grownNumbers } from './grown-numbers.ts';

/**
 * What is believed about a set of quantities: means and their joint covariance. It is symmetric, so only its lower triangle is kept, row
 * after row: an observation changes all of it, and what lies together is changed quickly.
 * Plain data that survives structured cloning, which copies typed arrays as they are.
 */
export interface GaussianState {
  n: number;
  mean: Float64Array;
  /** Lower triangle, row after row: see `placeOf`. */
  cov: Float64Array;
  /** Steps that are being followed, see StepTrace. */
  traces: StepTrace[];
}

/**
 * A step that may have happened at some time in one source of observations, followed beside the belief, which does
 * not know of it: how far a step of one unit would have led each mean astray since, and what the innovations
 * say of its size. With it a step can be taken in later as if it had been allowed for from its start.
 *
 * Source: A. S. Willsky & H. L. Jones (1976), IEEE Trans. Automatic Control 21(1) 108, generalised likelihood ratio.
 */
export interface StepTrace {
  /** False while no step is suspected: then nothing is followed. */
  active: boolean;
  astray: Float64Array;
  /** Σ signature² / variance and Σ signature · innovation / variance. */
  information: number;
  score: number;
}

/** Where the covariance of two quantities is kept. */
export function placeOf(i: number, j: number): number {
  return i >= j ? ((i * (i + 1)) >> 1) + j : ((j * (j + 1)) >> 1) + i;
}

/** How uncertain one quantity is. */
export function varianceOf({ cov }: GaussianState, index: number): number {
  return cov[placeOf(index, index)]!;
}

/** A state that knows of no quantity yet. */
export function emptyGaussian(): GaussianState {
  return { n: 0, mean: new Float64Array(0), cov: new Float64Array(0), traces: [] };
}

/**
 * Adds a quantity that is independent of all others and returns its index.
 *
 * @param mean its expected value
 * @param variance how uncertain that is, > 0
 */
export function addQuantity(state: GaussianState, mean: number, variance: number): number {
  const { n } = state;
  const cov = grownNumbers(state.cov, placeOf(n, n) + 1);
  cov.fill(0, placeOf(n, 0));
  cov[placeOf(n, n)] = variance;
  state.mean = longer(state.mean, mean);
  state.cov = cov;
  state.n = n + 1;
  for (const trace of state.traces) trace.astray = longer(trace.astray, 0);
  return n;
}

function longer(values: Float64Array, last: number): Float64Array {
  const { length } = values;
  const result = grownNumbers(values, length + 1);
  result[length] = last;
  return result;
}

/** Adds a trace that follows nothing yet and returns its index. */
export function addTrace(state: GaussianState): number {
  state.traces.push({ active: false, astray: new Float64Array(state.n), information: 0, score: 0 });
  return state.traces.length - 1;
}

/** Begins to follow a step from the next observation on, or stops following. */
export function restartTrace(trace: StepTrace, active: boolean): void {
  trace.active = active;
  trace.information = 0;
  trace.score = 0;
  trace.astray.fill(0);
}

/**
 * Takes a followed step in: its size joins quantity `index`, and what the means had made of it is undone.
 *
 * @param priorVariance how large such a step may be before the innovations are heard
 * @param sign 1 where the quantity lowers the observations (as a loss), -1 where it raises them
 */
export function takeStep(
  state: GaussianState,
  trace: StepTrace,
  index: number,
  priorVariance: number,
  sign: 1 | -1,
): void {
  const { n, mean, cov } = state;
  const variance = 1 / (trace.information + 1 / priorVariance);
  const size = trace.score * variance;
  const shift = trace.astray;
  let place = 0;
  for (let i = 0; i < n; i++) {
    const from = i === index ? sign - shift[i]! : -shift[i]!;
    mean[i] = mean[i]! + size * from;
    for (let j = 0; j <= i; j++, place++)
      cov[place] = cov[place]! + variance * (from * (j === index ? sign - shift[j]! : -shift[j]!));
  }
  restartTrace(trace, false);
}

/** Forgets what is known of one quantity and believes `mean` ± √`variance` instead, independent of all others. */
export function resetQuantity(state: GaussianState, index: number, mean: number, variance: number): void {
  scaleRow(state, index, 0);
  state.cov[placeOf(index, index)] = variance;
  state.mean[index] = mean;
  for (const trace of state.traces) trace.astray[index] = 0;
}

/** One quantity decays towards 0 by `factor` and gains `variance`: a first-order autoregressive step. */
export function decayQuantity(state: GaussianState, index: number, factor: number, variance: number): void {
  const own = placeOf(index, index);
  if (factor !== 1) {
    scaleRow(state, index, factor);
    state.cov[own] = state.cov[own]! * factor;
    state.mean[index] = state.mean[index]! * factor;
    const { traces } = state;
    for (let t = 0; t < traces.length; t++)
      if (traces[t]!.active) traces[t]!.astray[index] = traces[t]!.astray[index]! * factor;
  }
  state.cov[own] = state.cov[own]! + variance;
}

/** Covariances of a quantity with all, its variance included, times a factor. */
function scaleRow({ n, cov }: GaussianState, index: number, factor: number): void {
  const row = placeOf(index, 0);
  for (let j = 0; j <= index; j++) cov[row + j] = cov[row + j]! * factor;
  for (let i = index + 1, place = placeOf(i, index); i < n; place += ++i) cov[place] = cov[place]! * factor;
}

/**
 * Lifts the mean of Σ quantities to `least` where it is below, moving every mean with it as their covariances say.
 * Covariances stay: that the bound holds is known at all times and must not count anew with every observation.
 *
 * Source: D. Simon (2010), Kalman filtering with state constraints, IET Control Theory & Applications 4(8) 1303, section 2.4 (estimate projection).
 */
export function liftTo(state: GaussianState, indices: readonly number[], least: number): void {
  const { n, cov, mean } = state;
  let now = 0;
  let variance = 0;
  for (const i of indices) {
    now += mean[i]!;
    for (const j of indices) variance += cov[placeOf(i, j)]!;
  }
  if (now >= least || variance <= 0) return;
  const lift = (least - now) / variance;
  for (let i = 0; i < n; i++) {
    let across = 0;
    for (const j of indices) across += cov[placeOf(i, j)]!;
    mean[i] = mean[i]! + lift * across;
  }
}

/** Mean and variance of Σ coefficients·quantities. */
export function linearForm(
  state: GaussianState,
  indices: readonly number[],
  coefficients: ArrayLike<number>,
): { mean: number; variance: number } {
  const { cov } = state;
  let mean = 0;
  let variance = 0;
  for (let i = 0; i < indices.length; i++) {
    const k = coefficients[i]!;
    const own = indices[i]!;
    mean += k * state.mean[own]!;
    for (let j = 0; j < i; j++) variance += 2 * k * coefficients[j]! * cov[placeOf(own, indices[j]!)]!;
    variance += k * k * cov[placeOf(own, own)]!;
  }
  return { mean, variance: Math.max(variance, 0) };
}
