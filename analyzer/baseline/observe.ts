import {
  addSignatures,
  gatherAcross,
  type Lists,
  leadAstray,
  listsFor,
  type Place,
  placeIn,
  subtractMoves,
} from './belief-room.ts';
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

/** What is kept of considered quantities meanwhile: means and covariances. Larger lists make it grow. */
let held = new Float64Array(64);

function followTraces(
  state: GaussianState,
  { sums, across }: Lists,
  place: Place | undefined,
  terms: number,
  innovation: number,
  variance: number,
  used: number,
  own: readonly number[],
  considered: readonly number[],
): void {
  const { traces } = state;
  sums.fill(0, 0, traces.length);
  for (const t of own) if (traces[t]!.active) sums[t] = 1;
  // Those that follow nothing were never led anywhere: of them nothing shows.
  addSignatures(state, terms, place);
  // One odd observation must not pass for a step.
  const most = TRACE_CLIP * Math.sqrt(variance);
  const heard = Math.max(-most, Math.min(most, innovation));
  for (let t = 0; t < traces.length; t++) {
    const signature = sums[t]!;
    if (signature === 0) continue;
    const trace = traces[t]!;
    trace.information += (signature * signature) / variance;
    trace.score -= (signature * heard) / variance;
    sums[t] = signature / used;
  }
  // What an observation must not teach, a step must not have led astray by it.
  for (let c = 0; c < considered.length; c++) {
    held[c] = across[considered[c]!]!;
    across[considered[c]!] = 0;
  }
  leadAstray(state, place);
  for (let c = 0; c < considered.length; c++) across[considered[c]!] = held[c]!;
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
  const lists = listsFor(n, terms, traces.length);
  const { across } = lists;
  if (held.length < considered.length * (considered.length + 1))
    held = new Float64Array(2 * considered.length * (considered.length + 1));
  const at = lists.indices;
  const by = lists.coefficients;
  const place = placeIn(state);
  for (let s = 0; s < terms; s++) {
    at[s] = indices[s]!;
    by[s] = coefficients[s]!;
  }
  gatherAcross(state, terms, place);
  let expected = 0;
  let variance = noise;
  for (let s = 0; s < terms; s++) {
    expected += by[s]! * mean[at[s]!]!;
    variance += by[s]! * across[at[s]!]!;
  }
  const innovation = value - expected;
  const distance = Math.abs(innovation) / Math.sqrt(variance);
  const used = distance > clip ? variance * (distance / clip) : variance;
  if (traces.length > 0) followTraces(state, lists, place, terms, innovation, variance, used, ownTraces, considered);
  update(state, lists, place, innovation, used, considered);
  return { value: innovation, variance };
}

/**
 * Moves means and covariances. All of them, however little they have to do with this observation: to leave out slight correlations takes
 * what was believed of the others together below zero in the end, where many observations are much alike.
 */
function update(
  state: GaussianState,
  { across, moves }: Lists,
  place: Place | undefined,
  innovation: number,
  used: number,
  considered: readonly number[],
): void {
  const { n, mean } = state;
  const root = Math.sqrt(used);
  const pull = innovation / used;
  holdBack(state, considered, true);
  for (let i = 0; i < n; i++) {
    moves[i] = across[i]! / root;
    mean[i] = mean[i]! + pull * across[i]!;
  }
  subtractMoves(state, place);
  holdBack(state, considered, false);
}

/** Keeps what is believed of considered quantities among themselves, or puts it back. */
function holdBack({ cov, mean }: GaussianState, considered: readonly number[], keep: boolean): void {
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
