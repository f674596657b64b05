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

const NONE: readonly number[] = [];
/** Deviations of one observation that a step may count. Source: own choice: a block of a leak of 15 % air is about that far off. */
const TRACE_CLIP = 5;

/** Room that every observation works in: nothing of it outlasts a call. Larger beliefs make it grow. */
const room = {
  /** Covariance of each quantity with this observation. */
  across: new Float64Array(64),
  /** Quantities that move, and their covariances side by side, over the deviation of the observation. */
  touched: new Int32Array(64),
  moves: new Float64Array(64),
  /** 1 for a quantity that is considered, for a trace that is the observation's own. */
  considered: new Uint8Array(64),
  own: new Uint8Array(64),
  /** The observation's own quantities: typed, so that the loops below meet one kind of array whoever asks. */
  indices: new Int32Array(32),
  coefficients: new Float64Array(32),
  /** How far considered quantities were astray before. */
  held: new Float64Array(64),
};

function makeRoom(n: number, traces: number, terms: number): void {
  if (room.across.length < n) {
    room.across = new Float64Array(2 * n);
    room.touched = new Int32Array(2 * n);
    room.moves = new Float64Array(2 * n);
    room.considered = new Uint8Array(2 * n);
    room.held = new Float64Array(2 * n);
  }
  if (room.own.length < traces) room.own = new Uint8Array(2 * traces);
  if (room.indices.length < terms) {
    room.indices = new Int32Array(2 * terms);
    room.coefficients = new Float64Array(2 * terms);
  }
}

function followTraces(
  { traces, n }: GaussianState,
  terms: number,
  innovation: number,
  variance: number,
  used: number,
  considered: readonly number[],
): void {
  const { across, own, indices, coefficients, held } = room;
  // One odd observation must not pass for a step.
  const most = TRACE_CLIP * Math.sqrt(variance);
  const heard = Math.max(-most, Math.min(most, innovation));
  for (let t = 0; t < traces.length; t++) {
    const trace = traces[t]!;
    if (!trace.active) continue;
    const { astray } = trace;
    let signature = own[t]!;
    for (let s = 0; s < terms; s++) signature += coefficients[s]! * astray[indices[s]!]!;
    if (signature === 0) continue;
    trace.information += (signature * signature) / variance;
    trace.score -= (signature * heard) / variance;
    // What an observation must not teach, a step must not have led astray by it.
    for (let c = 0; c < considered.length; c++) held[c] = astray[considered[c]!]!;
    lead(astray, across, n, signature / used);
    for (let c = 0; c < considered.length; c++) astray[considered[c]!] = held[c]!;
  }
}

/** astray -= pull · across, four at a time: most of the work on a block is here. */
function lead(astray: Float64Array, across: Float64Array, n: number, pull: number): void {
  let i = 0;
  for (; i + 3 < n; i += 4) {
    astray[i] = astray[i]! - pull * across[i]!;
    astray[i + 1] = astray[i + 1]! - pull * across[i + 1]!;
    astray[i + 2] = astray[i + 2]! - pull * across[i + 2]!;
    astray[i + 3] = astray[i + 3]! - pull * across[i + 3]!;
  }
  for (; i < n; i++) astray[i] = astray[i]! - pull * across[i]!;
}

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
  ownTraces: readonly number[] = NONE,
  considered: readonly number[] = NONE,
): Innovation {
  const { n, cov, mean, traces } = state;
  const terms = indices.length;
  makeRoom(n, traces.length, terms);
  const { across } = room;
  const at = room.indices;
  const by = room.coefficients;
  for (let s = 0; s < terms; s++) {
    at[s] = indices[s]!;
    by[s] = coefficients[s]!;
  }
  sumRows(cov, n, terms);
  let expected = 0;
  let variance = noise;
  for (let s = 0; s < terms; s++) {
    expected += by[s]! * mean[at[s]!]!;
    variance += by[s]! * across[at[s]!]!;
  }
  const innovation = value - expected;
  const distance = Math.abs(innovation) / Math.sqrt(variance);
  const used = distance > clip ? variance * (distance / clip) : variance;
  if (traces.length > 0) {
    for (const t of ownTraces) room.own[t] = 1;
    followTraces(state, terms, innovation, variance, used, considered);
    for (const t of ownTraces) room.own[t] = 0;
  }
  for (const i of considered) room.considered[i] = 1;
  update(state, innovation, used);
  for (const i of considered) room.considered[i] = 0;
  return { value: innovation, variance };
}

/**
 * What each quantity has to do with the observation: Σ of the covariance's rows of its terms, by their coefficients, into `room.across`.
 * Rows lie together in memory and columns do not; the covariance is symmetric to the last bit.
 */
function sumRows(cov: Float64Array, n: number, terms: number): void {
  const { across, indices: at, coefficients: by } = room;
  let s = 0;
  for (let i = 0; i < n; i++) across[i] = 0;
  for (; s + 3 < terms; s += 4) {
    const [b0, b1, b2, b3] = [by[s]!, by[s + 1]!, by[s + 2]!, by[s + 3]!];
    const [r0, r1, r2, r3] = [at[s]! * n, at[s + 1]! * n, at[s + 2]! * n, at[s + 3]! * n];
    for (let i = 0; i < n; i++)
      across[i] = across[i]! + b0 * cov[r0 + i]! + b1 * cov[r1 + i]! + b2 * cov[r2 + i]! + b3 * cov[r3 + i]!;
  }
  for (; s < terms; s++) {
    const [b, r] = [by[s]!, at[s]! * n];
    for (let i = 0; i < n; i++) across[i] = across[i]! + b * cov[r + i]!;
  }
}

/**
 * Moves means and covariances. Only quantities that have nothing to do with this observation stay as they are: to leave out slight
 * correlations takes what was believed of the others together below zero in the end, where many observations are much alike.
 */
function update({ n, cov, mean }: GaussianState, innovation: number, used: number): void {
  const { across, touched, moves, considered } = room;
  const root = Math.sqrt(used);
  const pull = innovation / used;
  let moved = 0;
  for (let i = 0; i < n; i++) {
    const k = across[i]!;
    if (k !== 0) {
      touched[moved] = i;
      moves[moved++] = k / root;
      if (considered[i] === 0) mean[i] = mean[i]! + pull * k;
    }
  }
  // Below the diagonal first, and the same above it: the covariance stays symmetric to the last bit.
  for (let a = 0; a < moved; a++) {
    const i = touched[a]!;
    const row = i * n;
    const k = moves[a]!;
    const own = considered[i] === 0;
    for (let b = 0; b <= a; b++) {
      const j = touched[b]!;
      if (!own && considered[j] !== 0) continue;
      const value = cov[row + j]! - k * moves[b]!;
      cov[row + j] = value;
      cov[j * n + i] = value;
    }
  }
}
