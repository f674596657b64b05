import { addTrace, type GaussianState, restartTrace } from './gaussian-state.ts';
import { evidenceFor } from './step-evidence.ts';

/** What one gun, or one powder, has said since a start: Σ of deviations, over so many blocks. */
export interface Said {
  readonly id: string;
  sum: number;
  blocks: number;
}

/** A step that guns of a line may share, followed from one time on. Part of the pipeline's state. */
export interface SharedStart {
  readonly trace: number;
  /** Epoch ms; 0 while nothing is followed. */
  since: number;
  blocks: number;
  /** Those heard since, in the order in which they were first. A list: few are searched sooner than looked up by name. */
  guns: Said[];
  powders: Said[];
}

/** Starts that are followed at once, and the least time between two of them, ms. Source: own choice: the blocks of a gun come every half hour or so. */
const STARTS = 5;
const EVERY_MS = 20 * 60_000;
/** Starts so young keep their place, ms: guns of a line tell of a step one after the other. Source: own choice. */
const YOUNG_MS = 45 * 60_000;
/** A single odd block must not speak for its gun alone. Source: own choice. */
const CLIP = 3;

export function newSharedStarts(gaussian: GaussianState): SharedStart[] {
  return Array.from({ length: STARTS }, () => ({
    trace: addTrace(gaussian),
    since: 0,
    blocks: 0,
    guns: [],
    powders: [],
  }));
}

/** Forgets all starts, and begins with the next block. */
export function restartShared(gaussian: GaussianState, starts: SharedStart[], now: number): void {
  for (const [place, start] of starts.entries()) begin(gaussian, start, place === 0 ? now : 0);
}

/** Takes in what a block said to every start: its innovation over its deviation. */
export function noteShared(starts: SharedStart[], gunId: string, powderId: string, deviation: number): void {
  const said = Math.max(-CLIP, Math.min(CLIP, deviation));
  for (let place = 0; place < starts.length; place++) {
    const start = starts[place]!;
    if (start.since === 0) continue;
    start.blocks++;
    add(start.guns, gunId, said);
    add(start.powders, powderId, said);
  }
}

function add(all: Said[], id: string, deviation: number): void {
  for (let place = 0; place < all.length; place++) {
    const said = all[place]!;
    if (said.id !== id) continue;
    said.sum += deviation;
    said.blocks++;
    return;
  }
  all.push({ id, sum: deviation, blocks: 1 });
}

/**
 * Begins another start from time to time; those that are given up, and else the one that says least, make room.
 *
 * @param variance of the step before it is seen
 * @param doubt ln odds below which a start is given up
 * @param longestMs for which one is followed
 */
export function beginShared(
  gaussian: GaussianState,
  starts: SharedStart[],
  now: number,
  variance: number,
  doubt: number,
  longestMs: number,
): void {
  const says = (start: SharedStart): number => evidenceFor(gaussian.traces[start.trace]!, variance);
  for (const start of starts)
    if (start.since > 0 && (now - start.since > longestMs || says(start) < doubt)) begin(gaussian, start, 0);
  if (starts.some(({ since }) => since > 0 && now - since < EVERY_MS)) return;
  let room = starts.find(({ since }) => since === 0);
  for (const start of room === undefined ? starts : [])
    if (now - start.since >= YOUNG_MS && (room === undefined || says(start) < says(room))) room = start;
  if (room !== undefined) begin(gaussian, room, now);
}

function begin(gaussian: GaussianState, start: SharedStart, now: number): void {
  restartTrace(gaussian.traces[start.trace]!, now > 0);
  start.since = now;
  start.blocks = 0;
  start.guns = [];
  start.powders = [];
}

/** Blocks from which a gun or powder counts as heard, Σ of deviations from which it says so, and the share of those heard that has to. Source: own choice: one odd block says nothing. */
const HEARD_BLOCKS = 2;
const SAYS = 2;
const MOST = 0.7;
/** Deviations by which those but the loudest have moved too. Source: own choice. */
const OTHERS = 2.2;

/**
 * How many of those heard moved the way that a trace tells.
 *
 * @returns 0 unless most of them did
 */
export function movedAlike(said: readonly Said[], score: number): number {
  const way = Math.sign(score);
  const heard = said.filter(({ blocks }) => blocks >= HEARD_BLOCKS);
  if (heard.length < 2) return 0;
  const agree = heard.filter(({ sum }) => -sum * way > SAYS).length;
  return agree >= MOST * heard.length ? agree : 0;
}

/** True when those but the loudest have moved too: one that leaks or runs empty must not speak for the others. */
export function othersMoved(said: readonly Said[], score: number): boolean {
  const way = Math.sign(score);
  const heard = said.filter(({ blocks }) => blocks >= HEARD_BLOCKS);
  if (heard.length < 2) return false;
  const loudest = heard.reduce((most, one) => (-one.sum * way > -most.sum * way ? one : most), heard[0]!);
  const others = heard.filter((one) => one !== loudest);
  const sum = others.reduce((total, one) => total - one.sum * way, 0);
  return sum > OTHERS * Math.sqrt(others.reduce((total, { blocks }) => total + blocks, 0));
}
