import { beliefKernels } from './belief-kernels.ts';
import { type GaussianState, placeOf } from './gaussian-state.ts';

/** Room for beliefs that are worked on, pages of 64 KiB. Source: own choice: 16 MiB hold some eighty pools of ten guns, and take memory only where they do. */
const PAGES = 256;
/** Quantities of the largest belief that is worked on there. Source: own choice, several times a pool of ten guns with a dozen powders. */
const MOST = 1024;
/** Quantities that a belief may gain before it needs another place. Source: own choice, a gun with its powders. */
const SPARE = 16;
const BYTES = Float64Array.BYTES_PER_ELEMENT;

const kernels = beliefKernels(PAGES);
const room = kernels?.memory ?? new ArrayBuffer(2 * MOST * BYTES);

/** Two lists of numbers that every observation works with: nothing of them outlasts a call. */
const ACROSS = 0;
const MOVES = MOST * BYTES;
const FIRST = 2 * MOST * BYTES;
let across = new Float64Array(room, ACROSS, MOST);
let moves = new Float64Array(room, MOVES, MOST);

/** Where a belief has its place, and the arrays that it had before and gets back. */
interface Place {
  readonly state: GaussianState;
  readonly at: number;
  readonly bytes: number;
  cov: Float64Array;
  mean: Float64Array;
  traces: number;
  home: { cov: Float64Array; mean: Float64Array; astray: Float64Array[] };
  /** Where each trace lies, bytes. */
  astray: number[];
}

/** Places that are lent; null while nobody works. */
let lent: Map<GaussianState, Place> | null = null;
let used = FIRST;

/**
 * Does some work on beliefs. What is brought in meanwhile lies in one memory, where loops over it are several times as fast, and is
 * back in arrays of its own at the end: a state is plain data outside of this.
 */
export function workOnBeliefs<Result>(work: () => Result): Result {
  if (lent !== null) return work();
  lent = new Map();
  try {
    return work();
  } finally {
    for (const place of lent.values()) takeHome(place);
    lent = null;
    used = FIRST;
  }
}

/** Brings a belief in for the work under way; no array of it that was read before may be used after. */
export function bringIn(state: GaussianState): void {
  if (lent === null || kernels === null || state.n > MOST) return;
  const known = lent.get(state);
  if (known !== undefined && isAt(known, state)) return;
  if (known !== undefined) takeHome(known);
  const bytes = bytesOf(state.n, state.traces.length);
  const fits = known !== undefined && bytes <= known.bytes;
  const taken = fits ? known.bytes : bytesOf(state.n + SPARE, state.traces.length + SPARE);
  const at = fits ? known.at : used;
  if (at + taken > room.byteLength) {
    lent.delete(state);
    return;
  }
  if (!fits) used += taken;
  lent.set(state, moveIn(state, at, taken));
}

const bytesOf = (n: number, traces: number): number => BYTES * ((n * (n + 1)) / 2 + n + traces * n);

const isAt = ({ cov, mean, traces }: Place, state: GaussianState): boolean =>
  cov === state.cov && mean === state.mean && traces === state.traces.length;

function moveIn(state: GaussianState, at: number, bytes: number): Place {
  const home = { cov: state.cov, mean: state.mean, astray: state.traces.map(({ astray }) => astray) };
  let next = at;
  const placed = (values: Float64Array): Float64Array => {
    const view = new Float64Array(room, next, values.length);
    view.set(values);
    next += values.length * BYTES;
    return view;
  };
  state.cov = placed(home.cov);
  state.mean = placed(home.mean);
  for (const trace of state.traces) trace.astray = placed(trace.astray);
  const astray = state.traces.map((trace) => trace.astray.byteOffset);
  return { state, at, bytes, cov: state.cov, mean: state.mean, traces: astray.length, home, astray };
}

/** Gives back what still lies in the room: into the arrays that it came from, where those are as long. */
function takeHome({ state, home }: Place): void {
  const back = (values: Float64Array, own: Float64Array | undefined): Float64Array => {
    if (values.buffer !== room) return values;
    if (own?.length !== values.length) return values.slice();
    own.set(values);
    return own;
  };
  state.cov = back(state.cov, home.cov);
  state.mean = back(state.mean, home.mean);
  for (const [index, trace] of state.traces.entries()) trace.astray = back(trace.astray, home.astray[index]);
}

/** Lists of `n` numbers for an observation of a belief. */
export function roomFor(n: number): { readonly across: Float64Array; readonly moves: Float64Array } {
  if (across.length < n) {
    across = new Float64Array(2 * n);
    moves = new Float64Array(2 * n);
  }
  return { across, moves };
}

/** Where a belief lies while it is worked on; undefined where it lies in arrays of its own. */
export function placeIn(state: GaussianState): Place | undefined {
  const place = lent?.get(state);
  return place !== undefined && isAt(place, state) && across.buffer === room ? place : undefined;
}

/** Row after row of the covariance: cov(i, j) −= moves(i) · moves(j), with the moves of `roomFor`. */
export function subtractMoves({ n, cov }: GaussianState, place: Place | undefined): void {
  if (place !== undefined) {
    kernels!.triangle(cov.byteOffset, MOVES, n);
    return;
  }
  let at = 0;
  for (let i = 0; i < n; i++) {
    const k = moves[i]!;
    for (let j = 0; j <= i; j++, at++) cov[at] = cov[at]! - k * moves[j]!;
  }
}

/** A trace is led astray by `pull` times what each quantity has to do with an observation, the `across` of `roomFor`. */
export function leadAstray({ traces, n }: GaussianState, trace: number, pull: number, place: Place | undefined): void {
  if (place !== undefined) {
    kernels!.minus(place.astray[trace]!, ACROSS, pull, n);
    return;
  }
  const { astray } = traces[trace]!;
  for (let i = 0; i < n; i++) astray[i] = astray[i]! - pull * across[i]!;
}

/** Adds a quantity's covariances with all of them, times a factor, to the `across` of `roomFor`. */
export function addAcross({ n, cov }: GaussianState, index: number, factor: number, place: Place | undefined): void {
  const row = placeOf(index, 0);
  if (place !== undefined) {
    kernels!.minusRow(cov.byteOffset + row * BYTES, index, n, -factor, ACROSS);
    return;
  }
  for (let j = 0; j <= index; j++) across[j] = across[j]! + factor * cov[row + j]!;
  for (let i = index + 1, at = placeOf(i, index); i < n; at += ++i) across[i] = across[i]! + factor * cov[at]!;
}
