import type { HeldWear } from './held-wear.ts';
import { DEEPEST, LEAK_STEPS, LEAKS, LeakGrid, sumOf } from './leak-grid.ts';
import { addBlurred, bell, LEVEL_STEP, LEVELS, REACH } from './level-grid.ts';
import { gatherLevel, movedBy, type NewInsertLevels, newInsertLevels } from './new-insert-levels.ts';

/**
 * What a gun shows whose powder nobody reads and whose ripple is not fitted: its output steps with every powder, and with a leak too. Powders come
 * and go with pauses and come back to where they were before; a leak comes once, at any time, and moves them all. Both are followed side by
 * side as a hidden Markov chain on a grid of levels and leaks. Part of the pipeline's state.
 *
 * Source: L. R. Rabiner (1989), Proc. IEEE 77(2) 257, the forward recursion; A. N. Shiryaev (1963), Theory Probab. Appl. 8(1) 22, to tell of a change
 * once its probability is beyond a limit.
 */
export interface UnreadPowder {
  /** Probability of each leak with each level of the powder in use: the levels of no leak first. */
  belief: Float64Array;
  /** Spray hours at each level while nothing leaked: what powders, hands and shifts do at this gun. */
  seen: number[];
  /** Pauses with another level behind them, as believed, and all pauses; what was seen lately counts more. */
  changed: number;
  paused: number;
  /** Set output (ln g/min) of the last block; null before one. */
  asked: number | null;
  /** End of the last block, and until when a refit makes a leak likelier, epoch ms; 0 before one. */
  time: number;
  refitUntil: number;
  /** End of the last block at which a leak was unlikely, epoch ms, and spray hours since. */
  onset: number;
  likelyHours: number;
  wear: HeldWear;
  /** What was seen since the insert was changed, until it is told where levels lie with the new one; null from then on. */
  anew: NewInsertLevels | null;
}

/** One block: when it was, its spray hours, and its level (ln output beside all that is known) with the variance of that. */
export interface UnreadBlock {
  readonly start: number;
  readonly end: number;
  readonly hours: number;
  readonly level: number;
  readonly variance: number;
  /** ln of the output, g/min. */
  readonly output: number;
}

/** Spray hours from one leak to the next at one gun, and for which one lasts; how much likelier one is with a refit, and for how long. Source: own choice; handbook section 2, "often at a refit". */
const LEAK = { everyHours: 100, lastHours: 60, refitOdds: 3, refitMs: 4 * 3_600_000 };
/**
 * Spray hours at known levels before which no leak is believed to begin, and over which it then comes to be believed as elsewhere: a powder that is sprayed for the first time lowers
 * the output as a leak does. Source: own choice, two and some ten shifts, in which most powders come round.
 */
const ROUND = { none: 5, over: 20 };
/**
 * Chance that a pause has another powder, hand or shift in it before this gun's pauses were seen, how many pauses that counts as, and over how many it is learnt; and how long a
 * pause is. Where one powder is sprayed for days, a level that outlasts many pauses is no sign of a leak. Source: own choice; a colour change takes a quarter of an hour, and hardly
 * less than half of that.
 */
const CHANGE = { pause: 0.4, weight: 10, over: 150, pauseMs: 8 * 60_000 };
/** ln by which a set output changes with another recipe: each has air of its own, which a hand has set. Source: own choice, as in the joint belief. */
const RECIPE_CHANGE = 0.03;
/**
 * Deviation by which a level wanders from block to block, and of a block beside its own; chance that two blocks without a pause between them are of two
 * levels all the same: no powder is changed then, so that hardly more than leaks themselves do it. With a set output the operator's answers are in all of it.
 * Source: own choice, as shifts and notches of the joint belief; between half and a sixth of one in a hundred find the same leaks in simulated halls.
 */
const WITHIN = { read: { walk: 0.012, block: 0.01, change: 0.003 }, set: { walk: 0.02, block: 0.03, change: 0.006 } };
/** How far levels may move when an insert or a sensor was exchanged. Source: own choice, a sensor's tolerance, and what is left open of a worn insert. */
const MOVED_SD = 0.06;
/** Share of levels never seen before, spray hours that count as much as they, and their deviation. Source: own choice, a shift; handbook section 4, ±25 % of air. */
const NEW = { share: 0.1, hours: 3, sd: 0.15 };
/** Spray hours for which a level is remembered. Source: own choice, half a year of one shift. */
const MEMORY_HOURS = 150;
/** Likelihood that any block has, over that of one right where it was expected. Source: own choice, one odd block is no proof. */
const ODD = 1e-3;
/** Probability below which no leak has begun yet. Source: own choice. */
const UNLIKELY = 0.1;
/** Probability from which a leak goes on beside a new insert. Source: own choice, more likely than not. */
const LEAKS_ON = 0.5;

const ANEW = bell(REACH, NEW.sd);
const MOVED = bell(9, MOVED_SD);

/** @param wear ln of output that the insert is believed to have lost */
export function newUnreadPowder(wear = 0): UnreadPowder {
  const belief = new Float64Array(LEVELS * LEAKS.length);
  for (let i = 0; i < LEVELS; i++) belief[i] = ANEW[i]!;
  return {
    belief,
    seen: new Array<number>(LEVELS).fill(0),
    ...{ changed: CHANGE.pause * CHANGE.weight, paused: CHANGE.weight, asked: null },
    ...{ time: 0, refitUntil: 0, onset: 0, likelyHours: 0 },
    wear: { held: wear, believed: wear },
    anew: null,
  };
}

/** Spray hours at all levels. */
function hoursSeen({ seen }: UnreadPowder): number {
  let sum = 0;
  for (let i = 0; i < LEVELS; i++) sum += seen[i]!;
  return sum;
}

/** How well powders are known: 0 while they have hardly been seen, 1 once they have come round. */
function knownShare(hours: number): number {
  return Math.max(0, Math.min(1, (hours - ROUND.none) / ROUND.over));
}

/** Room for what is reckoned of one block: nothing of it outlasts a call. */
const grid = new LeakGrid();

/** Where the next powder may be: where others were, or anywhere. */
function expectNext({ seen }: UnreadPowder, hours: number): void {
  const { next } = grid;
  const share = Math.max(NEW.share, NEW.hours / (NEW.hours + hours));
  for (let i = 0; i < LEVELS; i++) next[i] = share * ANEW[i]!;
  if (hours > 0) grid.spread(seen, (1 - share) / hours);
}

/**
 * Takes one block in.
 *
 * @param set the output is what the recipe asks, and the air follows by hand
 */
export function followUnread(state: UnreadPowder, block: UnreadBlock, set: boolean): void {
  const { seen } = state;
  const { walk, block: own, change: within } = set ? WITHIN.set : WITHIN.read;
  const recipe = set && state.asked !== null && Math.abs(block.output - state.asked) > RECIPE_CHANGE;
  const pause = recipe || block.start - state.time > CHANGE.pauseMs;
  if (state.anew !== null) {
    takeAnew(state, state.anew, block, set, pause);
    return;
  }
  const change = pause ? state.changed / state.paused : within;
  const hours = hoursSeen(state);
  const { belief } = grid;
  belief.set(state.belief);
  expectNext(state, hours);
  grid.predict(walk, change);
  const variance = block.variance + own * own;
  const level = Math.max(-REACH, Math.min(REACH, block.level / LEVEL_STEP)) * LEVEL_STEP;
  expectAt(level, variance);
  if (pause) countPause(state);
  const begins =
    (block.hours / LEAK.everyHours) * (block.end < state.refitUntil ? LEAK.refitOdds : 1) * knownShare(hours);
  grid.weigh(begins, Math.min(1, block.hours / LEAK.lastHours));
  state.belief.set(belief);
  const keep = Math.exp(-block.hours / MEMORY_HOURS);
  for (let i = 0; i < LEVELS; i++) seen[i] = keep * seen[i]! + block.hours * belief[i]!;
  state.time = block.end;
  state.asked = block.output;
  let leaks = 0;
  for (let leak = 1; leak < LEAKS.length; leak++) leaks += grid.others[leak]!;
  state.likelyHours += block.hours;
  if (leaks < UNLIKELY) noLeakYet(state, block.end);
}

function noLeakYet(state: UnreadPowder, now: number): void {
  state.onset = now;
  state.likelyHours = 0;
}

/** Just after a change of the insert it is only gathered where levels lie: all of them move by what the old one's wear was believed wrong. */
function takeAnew(state: UnreadPowder, anew: NewInsertLevels, block: UnreadBlock, set: boolean, pause: boolean): void {
  state.time = block.end;
  state.asked = block.output;
  noLeakYet(state, block.end);
  if (!gatherLevel(anew, block.level, block.hours, pause)) return;
  const steps = Math.round(movedBy(anew, state.seen, set) / LEVEL_STEP);
  const { seen, belief } = state;
  state.seen = seen.map((_, i) => seen[i - steps] ?? 0);
  belief.fill(0);
  for (let i = 0; i < LEVELS; i++) belief[i] = ANEW[i]!;
  state.anew = null;
}

/** Counts a pause, and as how likely what came after it says that another level began. */
function countPause(state: UnreadPowder): void {
  const { belief, likely, next, others } = grid;
  let other = 0;
  let all = 0;
  for (let leak = 0; leak < LEAKS.length; leak++) {
    const shift = DEEPEST - LEAK_STEPS[leak]!;
    for (let i = 0; i < LEVELS; i++) {
      const own = likely[i + shift]!;
      other += others[leak]! * next[i]! * own;
      all += belief[leak * LEVELS + i]! * own;
    }
  }
  const keep = 1 - 1 / CHANGE.over;
  state.changed = keep * state.changed + other / all;
  state.paused = keep * state.paused + 1;
}

/** An exponent below which nothing is left beside ODD: half of its last binary digit. Source: IEEE 754 binary64, 1e-3 * 2^-53 = 1e-19 = exp(-43.7). */
const NOTHING = -45;

/** Likelihood of a level where each step of the grid was expected, from the deepest leak at the lowest level on. */
function expectAt(level: number, variance: number): void {
  const { likely } = grid;
  for (let i = 0; i < likely.length; i++) {
    const off = level - (i - DEEPEST - REACH) * LEVEL_STEP;
    const exponent = (-0.5 * off * off) / variance;
    likely[i] = exponent < NOTHING ? ODD : Math.exp(exponent) + ODD;
  }
}

/** How likely a leak is, and what is lost by it (ln output) as believed, that there is none included. */
export function leakIn({ belief }: UnreadPowder): { probability: number; mean: number; sd: number } {
  let probability = 0;
  let mean = 0;
  let square = 0;
  for (let leak = 1; leak < LEAKS.length; leak++) {
    const share = sumOf(belief, leak * LEVELS);
    probability += share;
    mean += share * LEAKS[leak]!;
    square += share * LEAKS[leak]! ** 2;
  }
  return { probability, mean, sd: Math.sqrt(Math.max(0, square - mean * mean)) };
}

/** Seals or hoses were taken apart and went back in. */
export function refitsUnread(state: UnreadPowder, time: number): void {
  state.refitUntil = time + LEAK.refitMs;
}

/** The insert was changed: where levels lie with the new one has to be seen, unless something leaks, which goes on. */
export function renewsUnread(state: UnreadPowder): void {
  if (leakIn(state).probability < LEAKS_ON) state.anew = newInsertLevels(state.wear.held);
  else loosensUnread(state);
}

/** What levels rest on was exchanged: an insert, or a sensor. All of them may have moved a little. */
export function loosensUnread(state: UnreadPowder): void {
  const { belief } = state;
  for (let leak = 0; leak < LEAKS.length; leak++) {
    const moved = new Array<number>(LEVELS).fill(0);
    addBlurred(moved, belief.subarray(leak * LEVELS, (leak + 1) * LEVELS), 1, MOVED);
    for (let i = 0; i < LEVELS; i++) belief[leak * LEVELS + i] = moved[i]!;
  }
  const moved = new Array<number>(LEVELS).fill(0);
  addBlurred(moved, state.seen, 1, MOVED);
  state.seen = moved;
}
