import { type GaussianState, linearForm } from './gaussian-state.ts';

/** What one observation said against what was expected of it. */
export interface Innovation {
  /** Observed minus expected, in the observation's unit. */
  readonly value: number;
  /** Its variance before the observation was taken in. */
  readonly variance: number;
}

/** What would be expected of an observation, and the variance of its innovation. */
export function expectation(
  state: GaussianState,
  indices: readonly number[],
  coefficients: readonly number[],
  noise: number,
): { mean: number; variance: number } {
  const { mean, variance } = linearForm(state, indices, coefficients);
  return { mean, variance: variance + noise };
}

const NO_TRACES: readonly number[] = [];

function followTraces(
  { traces, n }: GaussianState,
  indices: readonly number[],
  coefficients: readonly number[],
  innovation: number,
  variance: number,
  used: number,
  across: Float64Array,
  own: readonly number[],
): void {
  for (let t = 0; t < traces.length; t++) {
    const trace = traces[t]!;
    if (!trace.active) continue;
    const { astray } = trace;
    let signature = own.includes(t) ? 1 : 0;
    for (let s = 0; s < indices.length; s++) signature += coefficients[s]! * astray[indices[s]!]!;
    if (signature === 0) continue;
    trace.information += (signature * signature) / variance;
    trace.score -= (signature * innovation) / variance;
    const pull = signature / used;
    for (let i = 0; i < n; i++) astray[i] = astray[i]! - pull * across[i]!;
  }
}

let gain: Float64Array = new Float64Array(64);
let touched: Int32Array = new Int32Array(64);
/** Correlation below which an observation leaves a quantity alone. Source: own choice, its share of what is learnt is below 1e-5. */
const SLIGHT = 0.003;

/**
 * Takes in one observation: value ≈ Σ coefficients·quantities ± √noise (a Kalman update; all quantities that are
 * correlated with those named move with them). An observation further than `clip` standard deviations off
 * has its noise raised so that it pulls no harder than one at `clip` (Huber's weight).
 *
 * @param ownTraces traces whose steps would lower this observation
 * @param considered quantities whose uncertainty counts but which this observation must not teach (Schmidt's filter)
 * @returns the innovation, as it was before clipping
 * Source: R. E. Kalman (1960), J. Basic Eng. 82(1) 35; P. J. Huber (1964), Ann. Math. Stat. 35(1) 73.
 */
export function observe(
  state: GaussianState,
  indices: readonly number[],
  coefficients: readonly number[],
  value: number,
  noise: number,
  clip: number,
  ownTraces: readonly number[] = NO_TRACES,
  considered: readonly number[] = NO_TRACES,
): Innovation {
  const { n, cov, mean } = state;
  if (gain.length < n) {
    gain = new Float64Array(2 * n);
    touched = new Int32Array(2 * n);
  }
  const across = gain;
  for (let i = 0; i < n; i++) {
    let sum = 0;
    const row = i * n;
    for (let s = 0; s < indices.length; s++) sum += coefficients[s]! * cov[row + indices[s]!]!;
    across[i] = sum;
  }
  let expected = 0;
  let variance = noise;
  for (let s = 0; s < indices.length; s++) {
    expected += coefficients[s]! * mean[indices[s]!]!;
    variance += coefficients[s]! * across[indices[s]!]!;
  }
  const innovation = value - expected;
  const distance = Math.abs(innovation) / Math.sqrt(variance);
  const used = distance > clip ? variance * (distance / clip) : variance;
  followTraces(state, indices, coefficients, innovation, variance, used, across, ownTraces);
  // Quantities hardly correlated with this observation stay as they are: that saves most of n × n.
  let moved = 0;
  for (let i = 0; i < n; i++)
    if (across[i]! * across[i]! > SLIGHT * SLIGHT * cov[i * n + i]! * variance) touched[moved++] = i;
  for (let a = 0; a < moved; a++) {
    const i = touched[a]!;
    const k = across[i]! / used;
    const taught = !considered.includes(i);
    if (taught) mean[i] = mean[i]! + k * innovation;
    const row = i * n;
    for (let b = 0; b < moved; b++) {
      const j = touched[b]!;
      if (taught || !considered.includes(j)) cov[row + j] = cov[row + j]! - k * across[j]!;
    }
  }
  return { value: innovation, variance };
}
