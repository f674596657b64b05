import { normalCdf } from '../../stats/normal.ts';

/** Reach of the cells, standard deviations; beyond it nothing lies. */
const LOWEST = -5;
const HIGHEST = 6;
/** Widest cell, and cells to one move of the autoregression. Source: own choice, because half of that changes no chance of 0.001 to 0.5 by 2 %. */
const WIDEST = 0.15;
const CELLS_A_MOVE = 2;
/** Moves beyond which nothing passes, in deviations of one. */
const FARTHEST = 4.5;

/**
 * Chance that a settled first-order autoregression of variance 1 lies above a boundary at one or more of some looks, by a Markov chain
 * over cells of its value.
 *
 *   x' = ρ·x + √(1 − ρ²)·e,   alarm at look t when x > boundaryAt(t)
 *
 * It is how a filter's belief errs around the truth while the nuisances that it cannot take out come and go: an EWMA of lambda 1 − ρ,
 * with a limit that is that far from what counts as no change.
 *
 * @param correlation ρ of neighbouring looks, 0 <= ρ < 1
 * @param boundaryAt boundary at look 1, 2, … in standard deviations
 * @param looks whole, >= 1
 * @returns probability, 0 to 1
 * @throws {RangeError} if ρ or the number of looks is out of range
 * Source: D. Brook & D. A. Evans, Biometrika 59, 1972 (Markov chain); checked against the integral equation and by simulation in
 * tests/analyzer/detect/passage-chance.test.ts.
 * @example
 * passageChance(0, () => 2, 1); // 0.023
 */
export function passageChance(correlation: number, boundaryAt: (look: number) => number, looks: number): number {
  if (!(correlation >= 0 && correlation < 1)) throw new RangeError(`correlation ${correlation}: expected 0 <= ρ < 1`);
  if (!(Number.isInteger(looks) && looks >= 1)) throw new RangeError(`${looks} looks: expected a whole number from 1`);
  const move = Math.sqrt(1 - correlation * correlation);
  const width = Math.min(WIDEST, move / CELLS_A_MOVE);
  const count = Math.ceil((HIGHEST - LOWEST) / width);
  const left = (cell: number): number => LOWEST + cell * width;
  let mass = new Float64Array(count);
  let next = new Float64Array(count);
  for (let i = 0; i < count; i++) mass[i] = normalCdf(left(i + 1)) - normalCdf(left(i));
  if (passing.correlation !== correlation) passing = passages(correlation, move, width, count, passing.share);
  // While the boundary is out of reach nothing passes it, and what is settled stays so.
  let look = 1;
  while (look < looks && boundaryAt(look) >= HIGHEST) look++;
  let alive = cut(mass, boundaryAt(look), width);
  for (look++; look <= looks && alive > 0; look++) {
    next.fill(0);
    for (let i = 0; i < count; i++) {
      const from = mass[i]!;
      if (from === 0) continue;
      const first = passing.first[i]!;
      const row = i * passing.width - first;
      const end = Math.min(count, first + passing.width);
      for (let to = Math.max(0, first); to < end; to++) next[to] = next[to]! + from * passing.share[row + to]!;
    }
    [mass, next] = [next, mass];
    alive = cut(mass, boundaryAt(look), width);
  }
  return Math.min(1, Math.max(0, 1 - alive));
}

/** Shares of each cell that pass to those around the one it moves to. */
interface Passing {
  readonly correlation: number;
  readonly first: Int32Array;
  readonly share: Float64Array;
  readonly width: number;
}

/**
 * Those that were reckoned last. A limit asks for dozens of boundaries with one correlation; and its memory is taken again: a hall whose guns become
 * known at once asks hundreds of times, and each time it is tens of kilobytes.
 */
let passing: Passing = {
  correlation: Number.NaN,
  first: new Int32Array(0),
  share: new Float64Array(0),
  width: 0,
};

/** @param room taken for the shares where it is large enough */
function passages(correlation: number, move: number, width: number, count: number, room: Float64Array): Passing {
  const reach = Math.ceil((FARTHEST * move) / width);
  const across = 2 * reach + 1;
  const first = new Int32Array(count);
  const share = room.length < count * across ? new Float64Array(count * across) : room;
  for (let i = 0; i < count; i++) {
    const middle = correlation * (LOWEST + (i + 0.5) * width);
    first[i] = Math.floor((middle - LOWEST) / width) - reach;
    let below = normalCdf((LOWEST + first[i]! * width - middle) / move);
    for (let k = 0; k < across; k++) {
      const above = normalCdf((LOWEST + (first[i]! + k + 1) * width - middle) / move);
      share[i * across + k] = above - below;
      below = above;
    }
  }
  return { correlation, first, share, width: across };
}

/** Takes away what lies above the boundary and tells what is left. */
function cut(mass: Float64Array, boundary: number, width: number): number {
  let left = 0;
  for (let i = 0; i < mass.length; i++) {
    const below = (boundary - (LOWEST + i * width)) / width;
    if (below < 1) mass[i] = below <= 0 ? 0 : mass[i]! * below;
    left += mass[i]!;
  }
  return left;
}
