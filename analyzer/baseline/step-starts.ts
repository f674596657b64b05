import { START_WINDOW } from '../detect/step-limits.ts';
import { addTrace, type GaussianState, restartTrace } from './gaussian-state.ts';
import { standardisedLoss } from './step-evidence.ts';

/**
 * Losses of one gun that may have begun at different times, followed side by side: one from before a step waters its size down, one from
 * after it finds nothing. One begins with every block, and those that say least make room. Part of the pipeline's state.
 */
export interface StepStarts {
  /** Traces of the gun's joint belief. */
  readonly traces: number[];
  /** End of the block before the first that each follows, epoch ms, and the blocks that it has followed; -1 while it follows none. */
  readonly since: number[];
  readonly blocks: number[];
}

/** Starts that are followed at once. Source: own choice: the three latest, and as many of the best before them. */
const STARTS = 6;
/** Blocks for which a start is followed before it may make room, and from which it speaks: one odd block is no step. Source: own choice. */
const YOUNG = 3;
const SPEAKS = 2;

/** Starts that follow nothing yet. */
export function newStepStarts(gaussian: GaussianState): StepStarts {
  const traces = Array.from({ length: STARTS }, () => addTrace(gaussian));
  return { traces, since: traces.map(() => 0), blocks: traces.map(() => -1) };
}

/** Forgets every start, and begins with the next block. */
export function restartStarts(gaussian: GaussianState, starts: StepStarts, now: number): void {
  for (let slot = 0; slot < starts.traces.length; slot++) begin(gaussian, starts, slot, slot === 0 ? now : null);
}

/** After a block that ended at `now`: every start has followed it, and another begins with the next. */
export function beginStart(gaussian: GaussianState, starts: StepStarts, now: number): void {
  const { traces, blocks } = starts;
  let room = 0;
  let least = Number.POSITIVE_INFINITY;
  for (let slot = 0; slot < traces.length; slot++) {
    if (blocks[slot]! >= 0) blocks[slot]!++;
    const says = blocks[slot]! < 0 ? Number.NEGATIVE_INFINITY : standardisedLoss(gaussian.traces[traces[slot]!]!);
    if (blocks[slot]! >= START_WINDOW || (blocks[slot]! >= YOUNG && says < 0)) begin(gaussian, starts, slot, null);
    if (blocks[slot]! < 0 || (blocks[slot]! >= YOUNG && says < least)) {
      least = blocks[slot]! < 0 ? Number.NEGATIVE_INFINITY : says;
      room = slot;
    }
  }
  begin(gaussian, starts, room, now);
}

/**
 * The start that says most, its loss over its deviation; null where none has followed enough.
 *
 * @param blocks that a start has to have followed
 */
export function bestStart(
  gaussian: GaussianState,
  starts: StepStarts,
  blocks = SPEAKS,
): { slot: number; says: number } | null {
  let best: { slot: number; says: number } | null = null;
  for (let slot = 0; slot < starts.traces.length; slot++) {
    if (starts.blocks[slot]! < blocks) continue;
    const says = standardisedLoss(gaussian.traces[starts.traces[slot]!]!);
    if (best === null || says > best.says) best = { slot, says };
  }
  return best;
}

/** The start next to a time at which something else dates the step; null where none is followed. */
export function startNear(starts: StepStarts, time: number): number | null {
  let near: number | null = null;
  for (let slot = 0; slot < starts.traces.length; slot++)
    if (
      starts.blocks[slot]! > 0 &&
      (near === null || Math.abs(starts.since[slot]! - time) < Math.abs(starts.since[near]! - time))
    )
      near = slot;
  return near;
}

function begin(gaussian: GaussianState, starts: StepStarts, slot: number, now: number | null): void {
  restartTrace(gaussian.traces[starts.traces[slot]!]!, now !== null);
  starts.since[slot] = now ?? 0;
  starts.blocks[slot] = now === null ? -1 : 0;
}
