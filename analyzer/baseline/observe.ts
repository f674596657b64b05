import { addAcross, leadAstray, placeIn, roomFor, subtractMoves } from './belief-room.ts';
import { type GaussianState, linearForm, placeOf } from './gaussian-state.ts';

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
  /** 1 for a trace that is the observation's own. */
  own: new Uint8Array(64),
  /** The observation's own quantities: typed, so that the loops below meet one kind of array whoever asks. */
  indices: new Int32Array(32),
  coefficients: new Float64Array(32),
  /** What is kept of considered quantities: how far they were astray, or their means and covariances. */
  held: new Float64Array(64),
};

function makeRoom(traces: number, terms: number, considered: number): void {
  if (room.own.length < traces) room.own = new Uint8Array(2 * traces);
  if (room.held.length < considered * (considered + 1)) room.held = new Float64Array(2 * considered * (considered + 1));
  if (room.indices.length < terms) {
    room.indices = new Int32Array(2 * terms);
    room.coefficients = new Float64Array(2 * terms);
  }
}

function followTraces(
  state: GaussianState,
  terms: number,
  innovation: number,
  variance: number,
  used: number,
  considered: readonly number[],
): void {
  const { traces } = state;
  const { own, indices, coefficients, held } = room;
  const place = placeIn(state);
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
    leadAstray(state, t, signature / used, place);
    for (let c = 0; c < considered.length; c++) astray[considered[c]!] = held[c]!;
  }
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
  const { n, mean, traces } = state;
  const terms = indices.length;
  makeRoom(traces.length, terms, considered.length);
  const { across } = roomFor(n);
  const at = room.indices;
  const by = room.coefficients;
  for (let s = 0; s < terms; s++) {
    at[s] = indices[s]!;
    by[s] = coefficients[s]!;
  }
  sumRows(state, terms, across);
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
  update(state, innovation, used, considered);
  return { value: innovation, variance };
}

/** What each quantity has to do with the observation: Σ of the covariances of its terms, by their coefficients, into `across`. */
function sumRows(state: GaussianState, terms: number, across: Float64Array): void {
  const { indices, coefficients } = room;
  const place = placeIn(state);
  across.fill(0, 0, state.n);
  for (let s = 0; s < terms; s++) addAcross(state, indices[s]!, coefficients[s]!, place);
}

/**
 * Moves means and covariances. All of them, however little they have to do with this observation: to leave out slight correlations takes
 * what was believed of the others together below zero in the end, where many observations are much alike.
 */
function update(state: GaussianState, innovation: number, used: number, considered: readonly number[]): void {
  const { n, mean } = state;
  const { across, moves } = roomFor(n);
  const root = Math.sqrt(used);
  const pull = innovation / used;
  holdBack(state, considered, true);
  for (let i = 0; i < n; i++) {
    moves[i] = across[i]! / root;
    mean[i] = mean[i]! + pull * across[i]!;
  }
  subtractMoves(state, placeIn(state));
  holdBack(state, considered, false);
}

/** Keeps what is believed of considered quantities among themselves, or puts it back. */
function holdBack({ cov, mean }: GaussianState, considered: readonly number[], keep: boolean): void {
  const { held } = room;
  let at = 0;
  for (let a = 0; a < considered.length; a++) {
    const i = considered[a]!;
    if (keep) held[at++] = mean[i]!;
    else mean[i] = held[at++]!;
    for (let b = 0; b <= a; b++) {
      const place = placeOf(i, considered[b]!);
      if (keep) held[at++] = cov[place]!;
      else cov[place] = held[at++]!;
    }
  }
}
