import { bell, LEVEL_STEP, LEVELS } from './level-grid.ts';
import { type LevelLists, levelKernels } from './level-kernels.ts';

/** ln of output that a leak costs. Source: own choice: seals of 4 to 18 % of air times an elasticity of 1.9; the first is none. */
export const LEAKS = [0, 0.08, 0.12, 0.16, 0.2, 0.24, 0.28, 0.34] as const;
/** The same in steps of the grid: a leak shifts what is seen by whole steps, so that leaks and levels share their likelihoods. */
export const LEAK_STEPS = LEAKS.map((leak) => Math.round(leak / LEVEL_STEP));
export const DEEPEST = Math.max(...LEAK_STEPS);
/** Share of leaks that are of each size: three of the pump (9.5 ± 4.5 % of air) for one at the gun's base (4.5 ± 3 %). Source: handbook section 2, a smaller rise; figures are own choice. */
const SIZES = [0, 0.169, 0.202, 0.201, 0.176, 0.135, 0.086, 0.031] as const;
/** Deviation to which a level seen is seen again: lots, weeks, weather. Source: own choice, lots of ±6 % of air are more seldom than not that far off. */
const AGAIN_SD = 0.035;
const REACH = 6;
const AGAIN = bell(REACH, AGAIN_SD);

const CELLS = LEVELS * LEAKS.length;
/** Where each list begins: none of them outlasts a block. */
const LISTS = ((): LevelLists => {
  let used = 0;
  const list = (numbers: number): number => {
    used += numbers;
    return used - numbers;
  };
  return {
    ...{ levels: LEVELS, leaks: LEAK_STEPS, reach: REACH },
    // Not first: the loops look at what lies before a level.
    moved: list(LEVELS),
    belief: list(CELLS),
    next: list(LEVELS),
    likely: list(LEVELS + DEEPEST),
    others: list(LEAKS.length),
    sizes: list(LEAKS.length),
    parts: list(LEVELS),
    weights: list(LEVELS + 2 * REACH),
    blur: list(2 * REACH + 1),
  };
})();
const END = LISTS.blur + 2 * REACH + 1;

/** A grid that one block is taken in on: what is in its lists is no part of any state. */
export class LeakGrid {
  readonly #kernels: ReturnType<typeof levelKernels>;
  readonly #moved: Float64Array;
  readonly #sizes: Float64Array;
  readonly #parts: Float64Array;
  readonly #weights: Float64Array;
  readonly #blur: Float64Array;
  /** Probability of each leak with each level of the powder in use: the levels of no leak first. */
  readonly belief: Float64Array;
  /** Where the next powder may be. */
  readonly next: Float64Array;
  /** Likelihood of what is seen, from the deepest leak at the lowest level on. */
  readonly likely: Float64Array;
  /** Probability of each leak: after `predict` that with another level than before, after `weigh` all of it. */
  readonly others: Float64Array;

  /** Whether this machine takes numbers in pairs. */
  get isPaired(): boolean {
    return this.#kernels !== null;
  }

  /** @param paired false to take every number by itself, as machines do that know no pairs */
  constructor(paired = true) {
    this.#kernels = paired ? levelKernels(LISTS) : null;
    const numbers = new Float64Array(this.#kernels?.memory ?? new ArrayBuffer(END * Float64Array.BYTES_PER_ELEMENT));
    const list = (from: number, length: number): Float64Array => numbers.subarray(from, from + length);
    this.belief = list(LISTS.belief, CELLS);
    this.next = list(LISTS.next, LEVELS);
    this.likely = list(LISTS.likely, LEVELS + DEEPEST);
    this.others = list(LISTS.others, LEAKS.length);
    this.#moved = list(LISTS.moved, LEVELS);
    this.#sizes = list(LISTS.sizes, LEAKS.length);
    this.#parts = list(LISTS.parts, LEVELS);
    this.#weights = list(LISTS.weights, LEVELS + 2 * REACH);
    this.#blur = list(LISTS.blur, 2 * REACH + 1);
    this.#sizes.set(SIZES);
    this.#blur.set(AGAIN.toReversed());
  }

  /** next += factor · source, each level of it spread about where it was; what would leave the grid stays at its edge. */
  spread(source: readonly number[], factor: number): void {
    const { next } = this;
    const weights = this.#weights;
    for (let i = 0; i < LEVELS; i++) weights[i + REACH] = factor * source[i]!;
    if (this.#kernels !== null) this.#kernels.spread();
    else
      for (let to = 1; to < LEVELS - 1; to++) {
        let sum = next[to]!;
        for (let tap = 0; tap <= 2 * REACH; tap++) sum += weights[to + tap]! * this.#blur[tap]!;
        next[to] = sum;
      }
    for (let i = 0; i <= REACH; i++)
      for (let k = 0; k <= REACH - i; k++) next[0] = next[0]! + weights[i + REACH]! * AGAIN[k]!;
    const last = LEVELS - 1;
    for (let i = last - REACH; i <= last; i++)
      for (let k = last - i + REACH; k < AGAIN.length; k++) next[last] = next[last]! + weights[i + REACH]! * AGAIN[k]!;
  }

  /** Levels wander by a deviation that is small against a step of the grid, to either neighbour, and a share of them goes over to the next. */
  predict(sd: number, change: number): void {
    const side = 0.5 * (sd / LEVEL_STEP) ** 2;
    if (this.#kernels !== null) {
      this.#kernels.predict(side, 1 - change, change);
      return;
    }
    const { belief, next, others } = this;
    const moved = this.#moved;
    const stays = 1 - change;
    const last = LEVELS - 1;
    for (let leak = 0; leak < LEAKS.length; leak++) {
      const from = leak * LEVELS;
      for (let i = 0; i < last; i++) {
        const own = belief[from + i]!;
        const before = belief[from + Math.max(0, i - 1)]!;
        moved[i] = own + side * (before + belief[from + i + 1]! - 2 * own);
      }
      moved[last] = belief[from + last]! + side * (belief[from + last - 1]! - belief[from + last]!);
      const mass = change * sumOf(moved, 0);
      others[leak] = mass;
      for (let i = 0; i < LEVELS; i++) belief[from + i] = stays * moved[i]! + mass * next[i]!;
    }
  }

  /** What was seen weighs each level and leak; meanwhile a share of what does not leak begins to, and a share of leaks ends. */
  weigh(begins: number, ends: number): void {
    const { belief, likely, others } = this;
    const parts = this.#parts;
    const kernels = this.#kernels;
    if (kernels !== null) kernels.weigh(begins, 1 - begins, ends, 1 - ends);
    else
      for (let i = 0; i < LEVELS; i++) {
        const none = belief[i]!;
        const begun = begins * none;
        let healed = 0;
        let sum = 0;
        for (let leak = 1; leak < LEAKS.length; leak++) {
          const at = leak * LEVELS + i;
          const now = belief[at]!;
          healed += ends * now;
          const weighed = ((1 - ends) * now + begun * SIZES[leak]!) * likely[i + DEEPEST - LEAK_STEPS[leak]!]!;
          belief[at] = weighed;
          sum += weighed;
        }
        belief[i] = ((1 - begins) * none + healed) * likely[i + DEEPEST]!;
        parts[i] = sum + belief[i]!;
      }
    let total = 0;
    for (let i = 0; i < LEVELS; i++) total += parts[i]!;
    if (kernels !== null) {
      kernels.share(total);
      return;
    }
    for (let at = 0; at < CELLS; at++) belief[at] = belief[at]! / total;
    for (let leak = 0; leak < LEAKS.length; leak++) others[leak] = sumOf(belief, leak * LEVELS);
  }
}

/** Sum over all levels of a leak. Of two halves: one sum waits for its last addition. */
export function sumOf(belief: ArrayLike<number>, from: number): number {
  let even = belief[from]!;
  let odd = 0;
  for (let at = from + 1; at < from + LEVELS; at += 2) {
    odd += belief[at]!;
    even += belief[at + 1]!;
  }
  return even + odd;
}
