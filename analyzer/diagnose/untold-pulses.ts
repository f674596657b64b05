import type { Block } from '../baseline/block.ts';
import type { GunMemory } from '../baseline/gun-memory.ts';
import { driftOf } from '../baseline/steady-level.ts';
import { risesOnceMore } from './further-leak.ts';
import { PULSES } from './step-signs.ts';

/** Spray hours within which ripple has to rise for that to be a leak: a slow one pulses more and more by itself. Source: own choice, some ten blocks. */
export const SUDDEN_HOURS = 1.5;
/** Deviation of ripple (ln) from which it counts as known again, once it was opened to a step. Source: own choice, two or three blocks. */
const KNOWN_SD = 0.12;

/**
 * Ripple that has risen though its chart never told: a gain, a refit or a step that guns shared opened what is believed of it just before, and that took the rise in. A chart of
 * innovations is blind to it from then on; what is believed is not.
 *
 * @returns when it began, epoch ms; null where nothing pulses more, and while a loss is looked at, which has the rise for its own
 */
export function untoldPulses(memory: GunMemory, block: Block): number | null {
  const ripple = driftOf(memory.ripple);
  if (ripple === null) return null;
  const { still, step } = memory;
  const rise = still === null ? 0 : ripple.mean - still.ripple;
  if (step !== null && !step.upward && rise > PULSES) return null;
  if (still !== null && memory.sprayHours - still.atHours < SUDDEN_HOURS && risesOnceMore(rise, ripple.sd))
    return still.time;
  if (memory.steps.ripple.up === 0 && ripple.sd < KNOWN_SD)
    memory.still = { ripple: ripple.mean, time: block.end, atHours: memory.sprayHours };
  return null;
}
