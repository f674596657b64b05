import { beliefKernels } from './belief-kernels.ts';
import { decayQuantity, type GaussianState, placeOf } from './gaussian-state.ts';

/** Room for beliefs that are worked on, pages of 64 KiB. Source: own choice: 16 MiB hold some eighty pools of ten guns, and take memory only where they do. */
const PAGES = 256;
/** Quantities of the largest belief that is worked on there. Source: own choice, several times a pool of ten guns with a dozen powders. */
const MOST = 1024;
/** Quantities that a belief may gain before it needs another place. Source: own choice, a gun with its powders. */
const SPARE = 16;
const BYTES = Float64Array.BYTES_PER_ELEMENT;

/** Terms of one observation. Source: own choice, twice those of a block. */
const TERMS = 32;

/** Lists of numbers that every observation works with: nothing of them outlasts a call. */
const ACROSS = 0;
const MOVES = ACROSS + MOST * BYTES;
const SUMS = MOVES + MOST * BYTES;
const COEFFICIENTS = SUMS + MOST * BYTES;
const INDICES = COEFFICIENTS + TERMS * BYTES;
const OFFSETS = INDICES + TERMS * BYTES;
const FIRST = OFFSETS + TERMS * BYTES;

const kernels = beliefKernels(PAGES);
const room = kernels?.memory ?? new ArrayBuffer(FIRST);
let across = new Float64Array(room, ACROSS, MOST);
let moves = new Float64Array(room, MOVES, MOST);
let sums = new Float64Array(room, SUMS, MOST);
/** Typed, so that loops over them meet one kind of array whoever asks. */
let coefficients = new Float64Array(room, COEFFICIENTS, TERMS);
let indices = new Int32Array(room, INDICES, TERMS);
const offsets = new Int32Array(room, OFFSETS, TERMS);
/** Every number in the room, by its place in it. */
const numbers = new Float64Array(room);
/** Whether all those lists still lie there; asked several times a block, which their buffers are too slow for. */
let listsInRoom = true;

/** Where a belief has its place, and the arrays that it had before and gets back. */
export interface Place {
  readonly state: GaussianState;
  readonly at: number;
  readonly bytes: number;
  cov: Float64Array;
  mean: Float64Array;
  traces: number;
  home: { cov: Float64Array; mean: Float64Array; astray: Float64Array[] };
  /** Where the first trace lies, bytes: the others follow it. */
  astray: number;
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
  if (lent === null || kernels === null || state.n > MOST || state.traces.length > MOST) return;
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
  const astray = next;
  for (const trace of state.traces) trace.astray = placed(trace.astray);
  return { state, at, bytes, cov: state.cov, mean: state.mean, traces: state.traces.length, home, astray };
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

/** Lists for an observation of a belief: of its quantities, of its traces, and of the terms of what is observed. */
export interface Lists {
  readonly across: Float64Array;
  readonly moves: Float64Array;
  readonly sums: Float64Array;
  readonly indices: Int32Array;
  readonly coefficients: Float64Array;
}

/** Lists that hold as many numbers at least. */
export function listsFor(n: number, terms: number, traces: number): Lists {
  if (across.length < n) {
    listsInRoom = false;
    across = new Float64Array(2 * n);
    moves = new Float64Array(2 * n);
  }
  if (sums.length < traces) {
    listsInRoom = false;
    sums = new Float64Array(2 * traces);
  }
  if (indices.length < terms) {
    listsInRoom = false;
    indices = new Int32Array(2 * terms);
    coefficients = new Float64Array(2 * terms);
  }
  return { across, moves, sums, indices, coefficients };
}

/** Where a belief lies while it is worked on; undefined where it lies in arrays of its own. */
export function placeIn(state: GaussianState): Place | undefined {
  if (lent === null || !listsInRoom) return undefined;
  const place = lent.get(state);
  return place !== undefined && isAt(place, state) ? place : undefined;
}

/** Row after row of the covariance: cov(i, j) −= moves(i) · moves(j), with the moves of `listsFor`. */
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

/** Adds to the sum of each trace Σ coefficients · how far it led the means of `indices` astray, with the lists of `listsFor`. */
export function addSignatures({ traces, n }: GaussianState, terms: number, place: Place | undefined): void {
  if (place !== undefined) {
    for (let s = 0; s < terms; s++) offsets[s] = indices[s]! * BYTES;
    kernels!.gather(place.astray, n * BYTES, SUMS, SUMS + traces.length * BYTES, OFFSETS, COEFFICIENTS, terms);
    return;
  }
  for (let t = 0; t < traces.length; t++) {
    const { astray } = traces[t]!;
    let sum = sums[t]!;
    for (let s = 0; s < terms; s++) sum += coefficients[s]! * astray[indices[s]!]!;
    sums[t] = sum;
  }
}

/** Every trace is led astray by its sum times what each quantity has to do with an observation, the `across` of `listsFor`; one with a sum of 0 is not. */
export function leadAstray({ traces, n }: GaussianState, place: Place | undefined): void {
  if (place !== undefined) {
    kernels!.spread(place.astray, n, SUMS, SUMS + traces.length * BYTES, ACROSS);
    return;
  }
  for (let t = 0; t < traces.length; t++) {
    const pull = sums[t]!;
    if (pull === 0) continue;
    const { astray } = traces[t]!;
    for (let i = 0; i < n; i++) astray[i] = astray[i]! - pull * across[i]!;
  }
}

/** Every trace leads the mean of one quantity astray by Σ coefficients · how far it led those of `indices`, of which the first is that one itself. */
export function moveAstray(state: GaussianState, target: number, terms: number, place: Place | undefined): void {
  const { traces, n } = state;
  for (let t = 0; t < traces.length; t++) sums[t] = 0;
  addSignatures(state, terms, place);
  if (place === undefined) {
    for (let t = 0; t < traces.length; t++) traces[t]!.astray[target] = sums[t]!;
    return;
  }
  const first = place.astray / BYTES + target;
  for (let t = 0, at = first; t < traces.length; t++, at += n) numbers[at] = sums[t]!;
}

/** What all quantities have to do with Σ coefficients · those of `indices`, as covariances, with the lists of `listsFor`: its `across`. */
export function gatherAcross({ n, cov }: GaussianState, terms: number, place: Place | undefined): void {
  if (place !== undefined) {
    kernels!.addRows(cov.byteOffset, n, INDICES, INDICES + terms * Int32Array.BYTES_PER_ELEMENT, COEFFICIENTS, ACROSS);
    return;
  }
  across.fill(0, 0, n);
  for (let s = 0; s < terms; s++) {
    const [index, factor] = [indices[s]!, coefficients[s]!];
    const row = placeOf(index, 0);
    for (let j = 0; j <= index; j++) across[j] = across[j]! + factor * cov[row + j]!;
    for (let i = index + 1, at = placeOf(i, index); i < n; at += ++i) across[i] = across[i]! + factor * cov[at]!;
  }
}

/** `decayQuantity` of a belief that is worked on: the same, sooner. */
export function decayIn(state: GaussianState, index: number, factor: number, variance: number): void {
  const place = placeIn(state);
  if (place === undefined || factor === 1) {
    decayQuantity(state, index, factor, variance);
    return;
  }
  const { n, mean, cov, traces } = state;
  const own = placeOf(index, index);
  kernels!.scaleRow(cov.byteOffset + placeOf(index, 0) * BYTES, index, n, factor);
  cov[own] = cov[own]! * factor + variance;
  mean[index] = mean[index]! * factor;
  // Those that follow nothing were never led anywhere.
  for (let t = 0, at = place.astray / BYTES + index; t < traces.length; t++, at += n)
    numbers[at] = numbers[at]! * factor;
}
