import type { Block } from './block.ts';
import type { GunMemory } from './gun-memory.ts';
import { observe } from './observe.ts';
import { curveBend, curveRise, curveTwist } from './pump-curve.ts';
import type { PumpPool } from './pump-pool.ts';

/**
 * A coupled output is computed from the air, so it says nothing of the pump: as the insert wears, people ask the same powder and it
 * rises with their air. What they ask is not read, but most of the time it is the gun's usual recipe. So such a gun is
 * taken for one with a set output that is not shown: always the same number, and blocks far off it are another recipe's.
 *
 * The number itself is what the first block showed: the gun's level makes up for the rest.
 */
export function asAsked(memory: GunMemory, block: Block): Block {
  if (!Number.isFinite(block.output)) return block;
  memory.recipe ??= block.output;
  return { ...block, output: memory.recipe };
}

/** Error of the number that is shown, ln: it is reckoned without noise, from flows that have some. Source: own choice. */
const SHOWN_SD = 0.02;

/** What such a gun does show, and to the digit, is the curve of its pump when new: the shape over air is learnt from it. */
export function learnShown(pool: PumpPool, block: Block): void {
  if (pool.reference === 0 || !Number.isFinite(block.output)) return;
  const ratio = Math.exp(block.flow) / pool.reference;
  const indices = [pool.level, pool.elasticity, pool.bend, pool.twist];
  observe(
    pool.gaussian,
    indices,
    [1, curveRise(ratio), curveBend(ratio), curveTwist(ratio)],
    block.output,
    SHOWN_SD ** 2,
    3,
  );
}

/**
 * Off the usual recipe by more than this (ln output, and deviations of what is expected) a block belongs to another one; after so
 * many in a row the other is the usual one, and its level is open by as much. Source: own choice: recipes differ by a fifth or more, wear
 * takes days for as much; some two days of work.
 */
export const OTHER_RECIPE = { off: 0.11, deviations: 1.6, blocks: 70, gains: 70, sd: 0.3 };
