import { grownNumbers } from './grown-numbers.ts';

/**
 * What is believed about a set of quantities: means and their joint covariance (row-major, n × n, symmetric to the last bit).
 * Plain data that survives structured cloning, which copies typed arrays as they are.
 */
export interface GaussianState {
  n: number;
  mean: Float64Array;
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
  const size = n + 1;
  const cov = grownNumbers(state.cov, size * size);
  // In the same memory rows move apart: the last one first, so that none is written over before it has moved.
  for (let i = n - 1; i >= 0; i--) {
    cov.copyWithin(i * size, i * n, (i + 1) * n);
    cov[i * size + n] = 0;
  }
  cov.fill(0, n * size, size * size - 1);
  cov[size * size - 1] = variance;
  state.mean = longer(state.mean, mean);
  state.cov = cov;
  state.n = size;
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
  for (let i = 0; i < n; i++) {
    const from = i === index ? sign - shift[i]! : -shift[i]!;
    mean[i] = mean[i]! + size * from;
    for (let j = 0; j <= i; j++) {
      const value = cov[i * n + j]! + variance * (from * (j === index ? sign - shift[j]! : -shift[j]!));
      cov[i * n + j] = value;
      cov[j * n + i] = value;
    }
  }
  restartTrace(trace, false);
}

/** Forgets what is known of one quantity and believes `mean` ± √`variance` instead, independent of all others. */
export function resetQuantity(state: GaussianState, index: number, mean: number, variance: number): void {
  const { n, cov } = state;
  for (let j = 0; j < n; j++) {
    cov[index * n + j] = 0;
    cov[j * n + index] = 0;
  }
  cov[index * n + index] = variance;
  state.mean[index] = mean;
  for (const trace of state.traces) trace.astray[index] = 0;
}

/** One quantity decays towards 0 by `factor` and gains `variance`: a first-order autoregressive step. */
export function decayQuantity(state: GaussianState, index: number, factor: number, variance: number): void {
  const { n, cov } = state;
  if (factor !== 1) {
    const row = index * n;
    const own = cov[row + index]! * factor * factor;
    for (let j = 0; j < n; j++) {
      const value = cov[row + j]! * factor;
      cov[row + j] = value;
      cov[j * n + index] = value;
    }
    cov[row + index] = own;
    state.mean[index] = state.mean[index]! * factor;
    for (const { active, astray } of state.traces) if (active) astray[index] = astray[index]! * factor;
  }
  cov[index * n + index] = cov[index * n + index]! + variance;
}

/**
 * Moves a quantity by a known amount that depends on others: target += amount, with the
 * sensitivity of that amount to each of `sources` (first-order propagation), and `variance` of its own.
 */
export function moveQuantity(
  state: GaussianState,
  target: number,
  amount: number,
  sources: readonly number[],
  sensitivities: readonly number[],
  variance: number,
): void {
  const { n, cov } = state;
  const row = target * n;
  for (let s = 0; s < sources.length; s++) {
    const from = sources[s]! * n;
    const k = sensitivities[s]!;
    for (let j = 0; j < n; j++) cov[row + j] = cov[row + j]! + k * cov[from + j]!;
  }
  let own = cov[row + target]!;
  for (let s = 0; s < sources.length; s++) own += sensitivities[s]! * cov[row + sources[s]!]!;
  cov[row + target] = own + variance;
  for (let j = 0; j < n; j++) cov[j * n + target] = cov[row + j]!;
  state.mean[target] = state.mean[target]! + amount;
  for (const { active, astray } of state.traces)
    if (active)
      for (let s = 0; s < sources.length; s++)
        astray[target] = astray[target]! + sensitivities[s]! * astray[sources[s]!]!;
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
    for (const j of indices) variance += cov[i * n + j]!;
  }
  if (now >= least || variance <= 0) return;
  const lift = (least - now) / variance;
  for (let i = 0; i < n; i++) {
    let across = 0;
    for (const j of indices) across += cov[i * n + j]!;
    mean[i] = mean[i]! + lift * across;
  }
}

/** Mean and variance of Σ coefficients·quantities. */
export function linearForm(
  state: GaussianState,
  indices: readonly number[],
  coefficients: readonly number[],
): { mean: number; variance: number } {
  const { n, cov } = state;
  let mean = 0;
  let variance = 0;
  for (let i = 0; i < indices.length; i++) {
    const k = coefficients[i]!;
    mean += k * state.mean[indices[i]!]!;
    const row = indices[i]! * n;
    for (let j = 0; j < indices.length; j++) variance += k * coefficients[j]! * cov[row + indices[j]!]!;
  }
  return { mean, variance: Math.max(variance, 0) };
}
